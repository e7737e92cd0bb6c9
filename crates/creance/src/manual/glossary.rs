//! The words: what the trade, the standards and this program mean by them. In alphabetical order.

/// Each word and its meaning.
pub const GLOSSARY: &[(&str, &str)] = &[
    (
        "adapter plate",
        "A thin plate that carries two hole patterns, for a board whose holes do not meet those of the frame.",
    ),
    ("all-up mass", "The mass of everything that leaves the ground, pack included."),
    (
        "allotment of ports",
        "Which peripheral gets which serial port of a controller. Where not all can have one, the fewest that cannot be had together are named.",
    ),
    (
        "balance point",
        "The centre of gravity. It wants to lie under the thrust centre, or some motors work harder than others.",
    ),
    (
        "bare conductor",
        "A pad, pin or solder joint with nothing over it. Carbon that touches it makes a short.",
    ),
    (
        "barrier",
        "A step between versions that may not be jumped over on the way up nor crossed on the way back.",
    ),
    (
        "basis",
        "What a fact rests on: measured, data sheet or typical. A figure rests on the weakest of its facts.",
    ),
    ("batch", "Units that are loaded one after the other by one plan."),
    ("bench", "The page on which one craft is built and proved."),
    (
        "blink",
        "A short break of the picture that is flown through: as many metres of any ten as are flown in 0.3 s of cruise, as long as the eyes blink, and never over 3 m. What is more ends the range.",
    ),
    ("bolt circle", "The circle on which a motor's screws lie; its diameter names it."),
    (
        "broken",
        "A verdict: it is more likely than not that it will not do as it stands. The finding says by how much and what to do.",
    ),
    (
        "bus",
        "What hangs straight on the pack: speed controllers and whatever is joined to them. Its voltage is the pack's, less plug and leads.",
    ),
    ("cage", "The plates that guard camera and lens in a crash."),
    (
        "capacitor",
        "Beside the pack's solder joint it takes up what the chopping of the motors throws at the bus. Its series resistance decides more than its size.",
    ),
    ("carbon", "Plate of carbon fibre in resin. It is light and stiff, and it conducts."),
    (
        "cell",
        "One unit of a pack. Packs of several have them in series, and their voltages add. A cell runs from 4.2 V full (4.35 V of the high-voltage kind) to about 3.3 V under load.",
    ),
    (
        "certainty",
        "How likely it is that what a rule asks for holds, given the doubt of all facts it rests on. Of a verdict: how likely the verdict is right.",
    ),
    (
        "check list",
        "What to look at before power, before flight or after a crash, made from the craft's own parts.",
    ),
    ("cheek", "A thin filler on each side of a camera that is narrower than its mount."),
    (
        "circular polarisation",
        "A wave whose field turns as it travels, left or right; both ends must use the same hand.",
    ),
    ("clearance", "The least distance between two solids. Less what such a pair needs, it is the margin."),
    (
        "contact resistance",
        "What a plug itself resists, both contacts together. Thin pins of one-cell packs have some 30 mΩ, more than the cell behind them.",
    ),
    (
        "converter",
        "What makes one voltage of another: it steps down, steps up or burns off what is over (linear). Each has a range of input, a greatest current and a share that it wastes.",
    ),
    (
        "counter",
        "How often, how long: matings, hours, cycles. It goes on by itself from the journal and is held against a rated life.",
    ),
    (
        "course",
        "The invented lane of gates, trees and fence over which the pictures of lenses are compared. Its lines on the ground lie 5 m apart.",
    ),
    ("craft", "One build: parts in places, with what is said of how it is flown."),
    (
        "crossed pair",
        "Serial wires that join send to send and receive to receive. Both talk and nobody listens: the transmitter stays at its lowest level and shows no overlay text.",
    ),
    ("data sheet", "A basis: what the maker states. Less doubt than typical, more than measured."),
    (
        "digest",
        "A number of 64 digits that belongs to the bytes of a file (SHA-256). Another file has another digest.",
    ),
    (
        "doubt",
        "How far a value may be off, either side. Stated with the fact, or by default from its kind and basis.",
    ),
    (
        "drag area",
        "The drag of the craft in level flight, told as the area that would have as much with a drag coefficient of one. With the mass it says how far the nose is down at a speed.",
    ),
    (
        "dropout",
        "A rail that steps down and has too little above its output: from there on its output follows its input down.",
    ),
    ("duct", "A ring round the blades of one motor. Inside it the gap to the blade tips is small."),
    (
        "endurance",
        "How long a pack lasts as the craft is flown, until the charge it lands with is left. A distribution, for nobody knows every fact.",
    ),
    ("engagement", "How deep a screw bites into its thread."),
    ("entry", "One thing that happened, in the journal."),
    ("fact", "A value with its unit, its doubt and its basis: 14 mm ± 0.1, measured."),
    ("figure", "A computed value with its working: formula, inputs, source, doubt."),
    (
        "figure of merit",
        "What an ideal disc of air would need to lift, over what the blades take. Small blades reach 0.4 to 0.65.",
    ),
    ("finding", "What a rule says of a craft: a verdict, the margin, the message and the mends."),
    (
        "flight controller",
        "The board that steers: it senses how the craft turns and commands the speed controller.",
    ),
    (
        "float",
        "The play of a screw in its holes: how far two holes may be apart and still take the same screw.",
    ),
    (
        "flown blind",
        "How far a craft flies while its picture is on the way: speed times latency. What stands there is seen only afterwards.",
    ),
    (
        "fold-back",
        "A transmitter lowering its level by itself when it is hot, or a converter its voltage when too much is asked of it.",
    ),
    (
        "gauge",
        "Thickness of a wire by the American count: a greater number is a thinner wire. Signals take 28 to 32, packs 12 to 20.",
    ),
    (
        "gender",
        "Which side of a connector has the pin in the middle. It is not always the side with the outer thread.",
    ),
    (
        "grade",
        "How far a source carries: published value, reference program, worked from the standard, common practice, memory.",
    ),
    (
        "ground",
        "The common return of every current and what each signal is measured against. Beside every signal and every supply wire runs one.",
    ),
    (
        "hand",
        "Left or right: which way blades turn, which way a circular wave turns, or which faces of a harness carry its contacts.",
    ),
    ("harness", "The bundle of thin leads between camera and video transmitter."),
    ("headroom", "How far the input of a converter that steps down must lie above its output."),
    ("hot face", "The face through which a video transmitter sheds its heat. It wants moving air before it."),
    ("hyperfocal distance", "Focused here, a lens is sharp from half of this distance to far away."),
    ("image", "A file that is loaded into a unit. It is known by its digest, not by its name."),
    (
        "image circle",
        "The round picture that a lens throws. Where it is smaller than the diagonal of the sensor in use, corners go dark.",
    ),
    ("inrush", "What a unit takes while it starts, for a moment more than ever after."),
    (
        "integrated board",
        "Flight controller and speed controller in one board, sometimes with the control receiver; also called all-in-one board.",
    ),
    (
        "journal",
        "What happened to each craft, in its owner's words: built, changed, loaded, flown, crashed, tested, repaired, checked. Rules of care and loading read it.",
    ),
    ("kv", "How fast a motor turns for each volt without load, in turns a minute."),
    (
        "limit",
        "The value a rule judges by: past it a craft is broken, short of it there may be a tight band.",
    ),
    ("margin", "What is there less what is needed; negative is what is short."),
    ("matching set", "Versions in the air and on the ground that go together."),
    ("mating", "Plugging in once. Small plugs bear few of them."),
    (
        "measure next",
        "The fact whose measuring would make a verdict surest. Where no single one would change it, two are named that would together, or how certain it could become with every fact measured.",
    ),
    ("measured", "A basis: calipers, scale or meter on this very part. The least doubt."),
    ("mend", "What to do about a finding, cheapest first."),
    ("motor mount", "The holes in an arm for one motor."),
    (
        "net",
        "All pads that one piece of copper joins. In a net of signals one pad talks and the others listen.",
    ),
    (
        "open-circuit voltage",
        "What a cell shows after a long rest with nothing joined to it: it tells how much charge is left, a voltage in flight does not.",
    ),
    (
        "overlay text",
        "Words and numbers that the flight controller lays over the picture. It comes to the air unit by its serial link.",
    ),
    ("pack", "The battery a craft flies on."),
    (
        "pad",
        "A piece of bare copper to solder a wire to, or a pin of a plug: what it does stands on the sheet of its part.",
    ),
    ("part", "One kind of thing, with the facts of its data sheet or of your calipers."),
    (
        "pattern",
        "A set of screw holes, named by the side of its square: 20 mm, 25.5 mm, 30.5 mm. Many are not centred on their board.",
    ),
    ("pigtail", "A short coax lead between video transmitter and antenna."),
    ("place", "One part put somewhere in a craft: seated on something, moved and turned."),
    (
        "printed part",
        "A part laid down in plastic, layer by layer. Some kinds soften where a transmitter is merely warm.",
    ),
    ("pull space", "The straight way that a plug, and the fingers on it, need to come out of the socket."),
    (
        "punch",
        "Full throttle for a second or two, the deepest pull on the pack. Where the picture fails, it fails there.",
    ),
    ("rail", "A voltage that a board makes for others, named place/rail, such as fc/9 V."),
    (
        "range",
        "How far out the picture holds, 99 % of the time on all antennas of the station together, short breaks apart: no more than a blink of any 10 m. Figures, charts and findings mean the same by it.",
    ),
    (
        "ready-made lead",
        "A lead with a plug at both ends that joins pin n to pin n. It fits plugs whose pins are of another order just as well.",
    ),
    (
        "recipe",
        "How a kind of unit is loaded: the name of the file on the card, what must lie beside it, which cards it reads.",
    ),
    ("ripple", "What the chopping of the motors' current leaves on a supply, told from peak to peak."),
    (
        "role",
        "What a solid is: board, carbon plate, lens, plug. The roles of a pair say how much room it needs.",
    ),
    (
        "route",
        "The shortest way a lead can lie round everything, bent no more sharply than it may. Where it goes round blades only a tie keeps it there.",
    ),
    ("rule", "One question asked of every craft. It answers with findings."),
    (
        "sag",
        "By how much the pack's voltage falls while current is drawn: more when cold, old or nearly empty.",
    ),
    (
        "seat",
        "What a place rests on: the craft itself, another place, or a named feature there, such as a pattern or a mount.",
    ),
    (
        "serial port",
        "A line to send and a line to receive. Send goes to receive, at one rate at both ends, with ground beside them.",
    ),
    ("sheet", "A craft with all its parts as one text file, for sharing and keeping."),
    (
        "skew",
        "How far upright things lean in a turn because a rolling shutter reads the picture line by line.",
    ),
    (
        "slack",
        "What is left of a lead when it is plugged in and lies its shortest way. 5 to 12 mm are wanted; what is over can swing.",
    ),
    (
        "slow voltage",
        "The part of a sag that builds up and fades over seconds: after a punch the pack comes back at once by most of it, then slowly by this.",
    ),
    ("soft mount", "A rubber ring between board and screw. It squashes, and it lets the board move."),
    ("solid", "A box, a cylinder or an outline of even thickness: what a part is made of for the proof."),
    ("sound", "A verdict: it will do. At least 95 % likely to hold, and not inside a tight band."),
    ("source", "Where a number or a formula comes from: document, place in it, grade."),
    ("spacer", "A stiff sleeve round a screw that holds two things apart."),
    ("speed controller", "The board that drives the motors."),
    ("stack", "Boards one over the other on one set of screws or posts."),
    (
        "standby until armed",
        "A setting by which a video transmitter stays at its lowest level until the flight controller says that the motors are armed.",
    ),
    (
        "standing wave ratio",
        "How well an antenna takes what is sent to it: 1 is perfect, at 2 a ninth of the power comes back.",
    ),
    ("standoff", "A threaded post between two plates."),
    (
        "still air",
        "A bench without fan or wind: a transmitter sheds its heat only by air that rises from it and by radiation.",
    ),
    ("stop", "A doubling of light, or a halving. A lens of f/2 gives one stop more than one of f/2.8."),
    (
        "strain relief",
        "What holds a lead beside its plug against a tug: a clamp bar, a tie, a dab of glue, a keeper.",
    ),
    (
        "sweep",
        "The disc a motor's blades pass through. The flex of the arm is not in it; it is in the clearance that the disc needs.",
    ),
    (
        "thinnest obstacle",
        "The thinnest thing a craft must see and dodge where it flies: said of the craft, and asked for by the rules of the picture.",
    ),
    ("thrust centre", "The middle of all motors, through which their common pull acts in hover."),
    (
        "thrust stand",
        "A scale that holds one motor with its blades and tells thrust and current by throttle. Its readings stand in the place of disc theory.",
    ),
    ("tight", "A verdict: it may do, with little in hand, or it is less than 95 % likely to hold."),
    ("tilt", "How far the camera's nose is raised, so that it looks ahead while the craft leans forward."),
    (
        "trail",
        "Every change of the store, in order, with what stood before: what undo works from. It only grows.",
    ),
    ("typical", "A basis: what such parts usually are. The widest doubt."),
    (
        "uncertainty",
        "The standard deviation that stands for a doubt (JCGM 100): a rectangle of half-width a has a/√3.",
    ),
    ("unit", "One box with an image in it, known by the label on it."),
    ("unknown", "A verdict: a fact is missing, and nobody can say. The finding names the fact."),
    ("verdict", "How a craft stands toward a rule: broken, tight, unknown or sound."),
    ("video transmitter", "The unit that codes the camera's picture and sends it; also called air unit."),
    (
        "wash",
        "The air that the blades throw down. In it a board sheds five to ten times what it sheds on a bench.",
    ),
    ("wheelbase", "Motor to motor across the diagonal."),
    ("witness", "The two points, one on each of two solids, between which a clearance is measured."),
    ("workshop", "One store of parts, craft, units and journal, kept in one file."),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stand_once_and_in_order() {
        for pair in GLOSSARY.windows(2) {
            let [(before, _), (after, _)] = pair else { continue };
            assert!(before.to_lowercase() < after.to_lowercase(), "{before}, {after}");
        }
    }

    #[test]
    fn every_meaning_is_whole_sentences() {
        for (word, meaning) in GLOSSARY {
            assert!(meaning.ends_with('.'), "{word}");
            assert!(meaning.starts_with(|first: char| first.is_uppercase()), "{word}");
        }
    }
}
