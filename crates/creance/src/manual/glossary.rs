//! The words: what the trade, the standards and this program mean by them. In alphabetical order.

/// Each word and its meaning.
pub const GLOSSARY: &[(&str, &str)] = &[
    (
        "adapter plate",
        "A thin plate that carries two hole patterns, for a board that does not match the frame.",
    ),
    (
        "all-in-one board",
        "Flight controller and speed controller in one board, sometimes with the control receiver.",
    ),
    (
        "basis",
        "What a fact rests on: measured, data sheet or typical. A figure rests on the weakest of its facts.",
    ),
    ("bench", "The page on which one craft is built and proved."),
    ("broken", "A verdict: it will not do as it stands. The finding says by how much and what to do."),
    ("cage", "The plates that guard camera and lens in a crash."),
    ("certainty", "How likely it is that a requirement holds, given the doubt of all facts it rests on."),
    (
        "circular polarisation",
        "A wave whose field turns as it travels, left or right; both ends must use the same hand.",
    ),
    ("clearance", "The least distance between two solids. Less what the pair needs, it is the margin."),
    ("craft", "One build: parts in places, with what is said of how it is flown."),
    (
        "doubt",
        "How far a value may be off, either side. Stated with the fact, or by default from its kind and basis.",
    ),
    ("duct", "A ring round the blades."),
    ("fact", "A value with its unit, its doubt and its basis: 14 mm ± 0.1, measured."),
    ("figure", "A computed value with its working: formula, inputs, source, doubt."),
    ("finding", "What a rule says of a craft: a verdict, the margin, the message and the mends."),
    (
        "flight controller",
        "The board that steers: it reads the turn sensors and commands the speed controller.",
    ),
    (
        "float",
        "The play of a screw in its holes: how far a board can be off its pattern and still be screwed on.",
    ),
    ("harness", "The bundle of thin leads between camera and video transmitter."),
    ("journal", "What happened to a craft, in order. It only grows."),
    ("kv", "How fast a motor turns for each volt without load, in turns a minute."),
    ("margin", "What is there less what is needed; negative is what is short."),
    ("mend", "What to do about a finding, cheapest first."),
    ("pack", "The battery a craft flies on."),
    ("part", "One kind of thing, with the facts of its data sheet or of your calipers."),
    ("pattern", "A set of screw holes, named by the side of its square: 20 mm, 25.5 mm, 30.5 mm."),
    ("pigtail", "A short coax lead between video transmitter and antenna."),
    ("place", "One part put somewhere in a craft: seated on something, moved and turned."),
    ("sheet", "A craft with all its parts as one text file, for sharing and keeping."),
    ("solid", "A box, a cylinder or an outline of even thickness: what a part is made of for the proof."),
    ("sound", "A verdict: it will do."),
    ("speed controller", "The board that drives the motors."),
    ("standoff", "A threaded post between two plates."),
    ("sweep", "The space the blades pass through, with the flex of the arm."),
    ("tight", "A verdict: it may do, with little in hand."),
    ("typical", "A basis: what such parts usually are. The widest doubt."),
    (
        "uncertainty",
        "The standard deviation that stands for a doubt (JCGM 100): a rectangle of half-width a has a/√3.",
    ),
    ("unknown", "A verdict: a fact is missing, and nobody can say. The finding names the fact."),
    ("video transmitter", "The unit that codes the camera's picture and sends it; also called air unit."),
    ("wheelbase", "Motor to motor across the diagonal."),
    ("workshop", "One store of parts, craft and journal, kept in one file."),
];
