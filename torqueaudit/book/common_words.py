"""Words that are no name to anybody who reads them: common ones, those of the trade, and the program's own.

A part of somebody's name that is one of them is not sought singly; the whole name still is.
"""

from functools import cache

# Of everyday English, and a few of German, as they stand in remarks of a workshop. Names of people that are words too
# (King, Hill, Winter) are no loss here: who bears one is more likely meant than the word.
EVERYDAY = """
a aber able about above across add after afternoon again against ago agreed air all alle allee allem allen almost
alone along already als also alt alte always am among amount an and another any anybody anyone anything anyway
anywhere apart appear april are area arm around arrive arrived as ask asked at auch auf august aus avenue awake away
awful back bad bag base be beat became because bed been before began behind bei beim being below belt bend bent beside
best better between beyond big bill bin bis bit bitte blew block blow board boat body book boot both bottom bought box
boy break bring broke broken brother brought build busy but button by call called came camp can cannot car card care
careful carry case catch caught cause chair chance change charge cheap check chest child clean clear clearly click
clock close closed cold come comes common complete control cool copy corner correct cost could count course cover
crack cross customer cut da daily damage damaged damp das dass date daughter day days december deep degree dein delay
dem den denn der des detail did die dies diese different difficult dirt dirty do doch does dog done door dort double
doubt down dran drauf draw drawn drei drew drink drive driven driver driving drop dropped drove dry du due durch
during dust each ear early easily easy edge eight eine einem einen einer eines either eleven else email empty end ende
ended engine enough enter entry equal er erst es esq etwa etwas even evening ever every everybody everyone everything
exact except expect eye fact fall fallen family far fast father fault february feel feet fehlt fell felt fest few
fifth fight figure fill final finally find fine finger finish finished fire first fit five fix flat floor flow fly
fold follow food foot for force forgotten form forth forward found four fourth frau free frei fresh friend from front
full für game gar garage garden gas gasse gave gegen geht genau general gerade gestern get gibt girl give given go
goes gone good got great grip ground group grow groß gut habe haben had hair half hand handle hang happen happy hard
hardly has have he head hear heard heart heat heavy held hello help her here herr hers herself heute hide hier high
him himself hinten his hit hold hole home horn hot hour hours house how huge hundred hung hurry hurt husband i if ihm
ihn ihr im immer in ing inside instead into iron is ist it its itself january jede jeder jetzt job join joint july
june junior just kalt kann kaputt keep kein keine kept key klein knew knock know known kommt kurz lane lang lange
large lassen last late later laugh lay lead leak learn least leather leave leer left leg leicht length less let letter
level lie life lift like likely limit line links list listen little live load local lock locker long look looked looks
loose lose loss lost lot loud low lower machine madam made mag mail main make mal man manager many map march mark
master match material matter may maybe me mean meant measure meet mehr mein mend met middle might mile mind mine
minute minutes miss missed missing missus mister mit mix mobile moment monday money month more morgen morning most
mother motor move moved mrs much mud muss must my nach name named near nearly neat neck need needed needs neighbour
neither neu neue never new news next nice nicht nichts night nine no nobody noch noise none nor north not note noted
nothing notice november now number nur ob oben october odd oder of off offer office often ohne oil ok old on once one
only open opened or order other others ought our out outside over own owner page paid pain paint pair paper part parts
party pass passed past path pay people perfect perhaps person phone photo pick piece pin pipe place plain plan plane
plant plastic plate platz play please plenty point police port position possible post pot power present press price
print probably problem professor promise proper proved public pull pump pure push put quality quarter question quick
quickly quite race rain rang range rare rather reach read ready real really reason rechts record refused repair reply
rest result return returned ride rider right ring road rode roll room root rough round row rub rule run rund rush rust
rusty safe said same sat saturday save saw say says schon screw seal season seat second see seem seems seen sehr seine
selbst self sell send senior sense sent separate september serious serve set seven several shake shall shape sharp she
shed sheet shop short should shoulder show shown shut sich side sie sign similar simple since sind single sister sit
site six size slid slide slight slightly slip slow slowly small smell smooth snow so soft sold soll some somebody
someone something sometimes son soon sorry sort sound south space spare speak special speed split spoke spot spread
spring square stage stain stand standing stark start started state station stay stays steady steel steep step stick
sticky stiff still stock stood stop stopped store straight strasse strike strip stripped strong struck stuck such
sudden sunday sure surface tag tail take taken tall tank tap tear telephone tell ten test than thank that the their
them then there these they thick thin thing think third this those though thought thousand thread three threw through
throw thrown thursday thus tie tied tight till time times tin tiny tip tire tired to today toe together told tomorrow
tone too took tool top tore torn total touch tough toward tower town toy track traffic train tried trip trouble truck
true trust try tube tuesday turn turned turns twelve twenty twice two type um uncle und under unit uns unten until
unused up upon upper us use used useful usual usually value very viel vier view visit visitor vom von vor vorn wait
walk wall wann want wanted warm warn was wash waste watch water wave way we weak wear weather wednesday week weg
weight well wenig wenn went wer were west wet what when where whether which while who whole whom whose why wide wie
wieder wife will wind wipe wird wire wish with within without wohl woman wood word words wore work worked world worn
worse worst worth would write written wrong wrote yard year years yes yesterday yet you young your yours zu zum zur
zwei über
"""
COLOURS = """
amber black blau blue braun bronze brown copper cream crimson dark gelb gold golden grau gray green grey grün ivory
light lime magenta maroon matt navy olive orange pearl pink purple red rosa rot scarlet schwarz silber silver teal
turquoise violet weiß white yellow
"""
TRADE = """
adapter adjuster adjusters allen alloy angle arrow axle axles bar battery bearing bearings bicycle bike bikes bleed
block bolt bolts boot bore boss bracket brake brakes bush cable cage calibrated calibration caliper cam cap
carburettor carrier chain chains chock clamp clearance clip clutch coil collar cone contact coolant cotter crank cup
cushion cylinder damper dampers dial disc discs drag drain drum dust exhaust fairing fastener filter final flange
float fluid fork forks frame fuel fuse gasket gauge gear gears glued grease greased grinder guard handlebar handlebars
hanger hub hose idle interim jack jet key laboratory lathe lever link links locker lube machine magnet maker manual
mark marker marks measurement mechanics motorcycle motorcycles mount mudguard muffler nipple nut nuts odometer
overload pad pads panel peg pin pins piston pivot plate pliers plug polish pressure procedure pump rack ratchet rear
reservoir rim rims rivet rod roller rotor rubber scale scooter screw screws sensor setting shaft shim shock slack slot
socket spacer spanner spark spindle spline spoke spokes sprocket sprockets stand starter stem strut stud swing
swingarm switch tab tank tester thread threadlocker threads throttle tightened tightening timer tooth teeth torque
torques tyre tyres valve vehicle vise washer washers welder wheel wheels wrench wrenches
"""
FIELDS = """
answer basis certificate conditions entry key limit lot outcome place position remark roles state subject supervisor
tag token
"""


@cache
def colours() -> frozenset[str]:
    """What a vehicle's tag may say of anybody's vehicle."""
    return frozenset(COLOURS.split())


@cache
def not_sought() -> frozenset[str]:
    """Every one of them, in small letters."""
    return frozenset(f"{EVERYDAY} {COLOURS} {TRADE} {FIELDS} {_own()}".casefold().split())


def _own() -> str:
    """The words that the program itself puts into entries and on screens."""
    from torqueaudit.model.job.facts import CheckMethod, MarkState, Outcome, Slot
    from torqueaudit.model.job.record import FastenerState, JobState
    from torqueaudit.model.register.permits import NOT_A_PERSON, ROLES
    from torqueaudit.model.wrench.classes import BAR, INDICATING, OTHER, SCREWDRIVER, SETTING
    from torqueaudit.model.wrench.wrench import BOTH
    from torqueaudit.read.words import ANSWERS

    chosen = (*CheckMethod, *MarkState, *Outcome, *Slot, *FastenerState, *JobState, *ANSWERS)
    listed = (*ROLES, *NOT_A_PERSON, BAR, BOTH, INDICATING, OTHER, SCREWDRIVER, SETTING)
    return " ".join((*chosen, *listed)).replace(",", " ").replace("-", " ")
