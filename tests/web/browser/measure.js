// What a page measures in a browser, with all that is folded up opened. Gives a list of sentences; none is well.
(bounds) => {
  const seen = (e) => e.getClientRects().length > 0 && getComputedStyle(e).visibility !== "hidden";
  const name = (e) => `${e.tagName.toLowerCase()} “${(e.innerText || e.name || e.id || "").trim().slice(0, 40)}”`;
  const said = [];
  const wide = document.documentElement.scrollWidth;
  if (wide > innerWidth) said.push(`scrolls sideways: ${wide} of ${innerWidth} px`);

  // What sticks to the edge of the screen lies over what is scrolled beneath it: that is looked at with the focus, below.
  const sticks = [...document.querySelectorAll(".go")].filter((e) => getComputedStyle(e).position === "sticky");
  for (const e of sticks) e.style.position = "static";

  // A link within a sentence is as high as its line; what stands alone is tapped with a glove.
  const alone = (a) => {
    const around = a.closest("p,li,td,dd,h1,h2,h3") || a.parentElement;
    return around.innerText.trim() === a.innerText.trim() || a.matches(".b a, nav a, .all a");
  };
  const target = (e) => (e.matches("[type=radio],[type=checkbox]") ? e.closest("label") || e : e);
  const tapped = [...document.querySelectorAll("button,input:not([type=hidden]),select,textarea,summary,a[href]")]
    .filter((e) => seen(e) && (!e.matches("a") || alone(e)))
    .map(target);
  const boxes = tapped.map((e) => [e, e.getBoundingClientRect()]);
  for (const [e, box] of boxes)
    if (box.width < bounds.target - 0.01 || box.height < bounds.target - 0.01)
      said.push(`${name(e)} is ${Math.round(box.width)} × ${Math.round(box.height)} px`);
  for (let i = 0; i < boxes.length; i++)
    for (let j = i + 1; j < boxes.length; j++) {
      const [a, p] = boxes[i];
      const [b, q] = boxes[j];
      if (a === b || a.contains(b) || b.contains(a)) continue;
      const across = Math.min(p.right, q.right) - Math.max(p.left, q.left);
      const down = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
      if (across > 1 && down > 1) said.push(`${name(a)} lies over ${name(b)}`);
    }

  // Words stay within their card, and no two of them lie on each other.
  const card = document.querySelector("main").getBoundingClientRect();
  const words = [];
  const walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const node = walk.currentNode;
    const held = node.parentElement;
    if (!node.data.trim() || !seen(held) || held.closest("svg,option,[hidden]")) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) {
      if (box.width < 1) continue;
      if (box.left < card.left - 1 || box.right > card.right + 1) said.push(`${name(held)} leaves the card`);
      words.push([held, box]);
    }
  }
  for (let i = 0; i < words.length; i++)
    for (let j = i + 1; j < words.length; j++) {
      const [a, p] = words[i];
      const [b, q] = words[j];
      if (a === b) continue;
      const across = Math.min(p.right, q.right) - Math.max(p.left, q.left);
      const down = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
      const least = Math.min(p.height, q.height);
      if (across > 2 && down > least * 0.5) said.push(`${name(a)} is written over ${name(b)}`);
    }

  const light = (colour) => {
    const [r, g, b] = colour.match(/[\d.]+/g).map((each) => each / 255)
      .map((each) => (each <= 0.04045 ? each / 12.92 : ((each + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (a, b) => {
    const [p, q] = [light(a), light(b)];
    return (Math.max(p, q) + 0.05) / (Math.min(p, q) + 0.05);
  };
  const below = (e) => {
    for (let each = e.parentElement; each; each = each.parentElement) {
      const colour = getComputedStyle(each).backgroundColor;
      if (!/, 0\)$/.test(colour)) return colour;
    }
    return "rgb(255, 255, 255)";
  };

  const set = document.querySelector(".set");
  if (set) {
    const high = parseFloat(getComputedStyle(set).fontSize);
    if (high < bounds.figure) said.push(`the number to set is ${high} px high`);
  }

  const fill = (e) => getComputedStyle(e).fill;
  for (const text of document.querySelectorAll("svg text")) {
    const under = text.parentElement.querySelector("circle");
    const against = ratio(fill(text), under ? fill(under) : below(text.closest("svg")));
    if (against < 7) said.push(`the number ${text.textContent} in the drawing has ${against.toFixed(1)} : 1`);
  }
  // The painted line stands out from its halo, and that from the nut it lies on.
  for (const line of document.querySelectorAll("svg.nutline .line")) {
    const halo = line.parentElement.querySelector(".under");
    const against = ratio(getComputedStyle(line).stroke, getComputedStyle(halo).stroke);
    if (against < 3) said.push(`the witness line has ${against.toFixed(1)} : 1`);
  }

  // Whoever goes by the keyboard sees where they are: nothing lies over it, and a ring of 3 px stands out 3:1.
  for (const e of sticks) e.style.position = "";
  for (const e of document.querySelectorAll("button,input:not([type=hidden]),select,summary,a[href]")) {
    if (!seen(e)) continue;
    e.focus({ focusVisible: true });
    const box = e.getBoundingClientRect();
    const [x, y] = [box.left + box.width / 2, box.top + Math.min(box.height, innerHeight) / 2];
    const top = document.elementFromPoint(x, y);
    if (!top || !(e.contains(top))) said.push(`${name(e)} has the focus and lies hidden`);
    const style = getComputedStyle(e);
    if (style.outlineStyle === "none" || parseFloat(style.outlineWidth) < 3 || ratio(style.outlineColor, below(e)) < 3)
      said.push(`${name(e)} does not show that it has the focus`);
  }
  document.activeElement.blur();
  return [...new Set(said)];
}
