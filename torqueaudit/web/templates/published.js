// Shows what holds on the reader's own day. Each part says from which day on it holds, and until which, as 2031-04-17;
// days written so compare as they follow each other. Plain enough for an old phone; without it everything is shown.
(function () {
  function two(number) {
    return (number < 10 ? "0" : "") + number;
  }
  function show() {
    var now = new Date();
    var today = now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
    var parts = document.querySelectorAll("[data-from],[data-until]");
    for (var i = 0; i < parts.length; i++) {
      var from = parts[i].getAttribute("data-from");
      var until = parts[i].getAttribute("data-until");
      var over = (from && today < from) || (until && today >= until);
      parts[i].hidden = !!over;
      parts[i].style.display = over ? "none" : "";
    }
  }
  show();
  setInterval(show, 60000);
})();
