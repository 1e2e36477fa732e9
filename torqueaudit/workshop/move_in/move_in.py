"""A list of a workshop's own: each row is looked at, then entered under the name of the import, or not with why.

One row that is wrong stops all of them, unless whoever has seen the rest says that it is to be entered without it.
"""

from hashlib import sha256
from typing import TYPE_CHECKING

from torqueaudit.book.errors import IdUsed
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.move_in.mapping import MoveMapping, VehicleColumns
from torqueaudit.model.move_in.rows import ListedVehicle
from torqueaudit.model.register.permits import IMPORT, ActName
from torqueaudit.workshop.door.attempt import Attempt
from torqueaudit.workshop.door.rows import rows_of
from torqueaudit.workshop.move_in.rows import Comes, ListLook, RowLook
from torqueaudit.workshop.move_in.vehicles import VehicleEntering, VehicleLooks
from torqueaudit.workshop.move_in.wrenches import WrenchLooks, enter_wrench_row

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


def look_at_list(workshop: "Workshop", name: str, data: bytes, mapping: MoveMapping, say: Say) -> ListLook:
    """What each row of a list would do; nothing is recorded.

    Raises Refused where whoever says it may not move in, and where the file cannot be read at all.
    """
    Attempt(workshop, say).permit(ActName.MOVE_IN)
    found = rows_of(workshop, name, data, mapping.columns, mapping.file)
    if isinstance(mapping.means, VehicleColumns):
        look = VehicleLooks(workshop, mapping.means, mapping.decimal).look
    else:
        look = WrenchLooks(workshop, mapping.means, mapping.decimal).look
    return ListLook(sha256(data).hexdigest(), found.columns, tuple(map(look, found.rows)))


def enter_list(workshop: "Workshop", look: ListLook, say: Say, *, without_wrong: bool = False) -> ListLook:
    """Enter the rows that are to be, each as an act of its own, and say of each what came of it.

    Raises Refused where a row is wrong, unless the others are to be entered `without_wrong` ones.
    """
    Attempt(workshop, say).permit(ActName.MOVE_IN)
    if (wrong := look.those(Comes.WRONG)) and not without_wrong:
        rows = "1 row is" if len(wrong) == 1 else f"{len(wrong)} rows are"
        raise Refused(f"{rows} wrong, so nothing is entered: the whole list goes in, or nothing of it")
    itself = Say(IMPORT, came=say.came._replace(door="import"))
    vehicles = VehicleEntering(workshop, look.file, say.by, itself)

    def enter(each: RowLook) -> RowLook:
        if each.comes is not Comes.ENTERED or each.told is None:
            return each
        try:
            if isinstance(each.told, ListedVehicle):
                return each._replace(number=vehicles.enter(each.row.line, each.told))
            whence = {"run_by": say.by, "file": look.file, "line": each.row.line}
            return each._replace(number=enter_wrench_row(workshop, each.told, whence, itself))
        except Refused as refused:
            return each._replace(comes=Comes.WRONG, says=str(refused))
        except IdUsed:
            says = "somebody has entered another wrench under this key meanwhile; look at the list of wrenches"
            return each._replace(comes=Comes.WRONG, says=says)

    return look._replace(rows=tuple(map(enter, look.rows)))
