//! The chapter on the dry fit: what each pane answers, how exactly, and what to mind before one acts on it.

use crate::wire::manual::AnswerDoc;
use proof::limits::{TILT_LEAST, TILT_MOST, TILT_TO_STOP};

/// Every question the dry fit answers, in the order of its panes.
pub fn answers() -> Vec<AnswerDoc> {
    vec![placement(), in_picture(), tilt(), wiring(), supply(), heat(), prints()]
}

fn doc(title: &'static str, answers: impl Into<String>, exact: &str, mind: &[&str]) -> AnswerDoc {
    AnswerDoc {
        title,
        answers: answers.into(),
        exact: exact.to_owned(),
        mind: mind.iter().map(|line| (*line).to_owned()).collect(),
    }
}

fn placement() -> AnswerDoc {
    doc(
        "Placement",
        "Where boards, camera and antennas would stand best: which hole pattern, in which order, turned and flipped how, on which \
         spacers. The best are those with the greatest least margin; what stands in the way of a better one is said beside each. \
         On the bench under Dry fit, or by `creance place`.",
        "Exact over the choices it was given: no placement among them has a greater least margin, and the bench of this program holds \
         the search against trying every one of them. It chooses among the hole patterns, spacers and quarter turns that there are; \
         places between them are not tried. The margins are those of the rules, with the doubt of the facts.",
        &[
            "A placement is proposed, not done: take it, look at its findings, and undo it if it does not please.",
            "Leads are laid anew for each. Hold the real lead along its way before anything is soldered.",
            "What no fact says, such as a cable tie or a dab of glue, stands in nobody's way here and may in yours.",
        ],
    )
}

fn in_picture() -> AnswerDoc {
    doc(
        "In the picture",
        "What the lens sees of the craft itself, blades included, as a share of the picture and as a picture, at the tilt that is set or \
         at one that is tried. On the bench under Dry fit, or by `creance draw CRAFT view --tilt DEGREES`.",
        "Each pixel is a ray through the lens as its sheet describes it, nothing is sampled between; the share is good to the pixels along \
         the edges of what is seen. A lens whose distortion nobody measured is drawn by the projection its sheet names, and may differ \
         by some per cent toward the corners.",
        &[
            "Turn a blade by hand in front of the running camera before the first flight, pack off the motors.",
        ],
    )
}

fn tilt() -> AnswerDoc {
    let (least, most) = (TILT_LEAST.get(), TILT_MOST.get());
    doc(
        "Camera tilt",
        format!(
            "Every range of tilts, from {least}° to {most}°, in which body, lens, plug and all that is seated on the camera keep the air they \
             need, what stops it at each end, how far the set tilt lies from the nearer stop ({}° is roomy), and how the camera would do in \
             each other mount of the craft. On the bench under Dry fit, by `creance check`, and with its working by `creance figures --only \
             fit.tilt`.",
            TILT_TO_STOP.tight
        ),
        "The ends are found by halving, not by trying steps: nothing wider than 0.05° is missed, and an end is known to about 0.0001° for the \
         sizes entered (held against a collision library, see Checks). What is worth more is the doubt beside it: it comes from the sizes \
         and places of what meets, and where a stop is only grazed it is large. Other mounts are compared by value alone, without doubt.",
        &[
            "Cheeks bend, screws slip, and the harness pushes: leave some degrees, and tighten the side screws again after a crash.",
            "The harness must have slack at both ends of the range you use: see Leads.",
            "A steeper tilt makes the craft faster before the horizon is level. Learn it where nobody stands.",
        ],
    )
}

fn supply() -> AnswerDoc {
    doc(
        "Supply over a flight",
        "Whether the picture stays up at the worst moment, a punch with the charge you land with in the cold, how surely, and at which charge it would \
         fail; which change mends that cheapest; what each rail carries of what it gives; how deep the bus sags over a flight, how long the pack \
         lasts and how surely, and what ten grams cost in seconds. A picture that goes black for some seconds at full throttle and comes back is mostly this: \
         the cells sag below what the video needs and it starts anew; on a craft of one cell it is the usual cause. On the bench under Supply, by `creance check`, `creance figures --only feed.` and \
         `creance draw CRAFT supply`. Readings of your own thrust stand take the place of disc theory: `creance stand TABLE --part PART`.",
        "A cell is its curve of voltage by charge, a resistance by charge and temperature, a term that bends with the current, and slow voltages; it is \
         held against an electrochemical reference. A flight runs in steps as long as a millivolt allows. Chances count trials in which every \
         fact is drawn from its doubt, the limit of a rail among them. What a wire brings counts before what a place says of its feed. Braking back into the \
         pack and the wires of single motors are left out.",
        &[
            "The resistance of pack and plug decides most, and a data sheet seldom tells it: measure both, warm and cold. Two steady loads and \
             their voltages at the pack's own lead are enough: the difference in volts over the difference in amperes.",
            "Read a finding from its mends: each says how sure the picture then is and what it costs, the cheapest first. One that helps and is not enough says so.",
            "A pack lands with charge left. Charge it attended, in a fire-proof place, at the rate and temperature its maker states.",
            "After rewiring: blades off, meter first, then a current-limited supply. Local rules and licensed practice go before this.",
        ],
    )
}

fn heat() -> AnswerDoc {
    doc(
        "Heat of the transmitter",
        "How warm it gets on the bench, waiting on the line, hovering and in cruise, at each of its levels; how many minutes until its limit, and whether \
         the time planned on the bench fits into them; the air it needs; whether the level you reckon with holds when it is hot; when it may be taken in \
         the hand. Nearly all that it takes from the pack becomes heat: a lower level saves some of it, standby and moving air far more. On the bench \
         under Supply, by `creance figures --only heat.` and `creance draw CRAFT heat`.",
        "All that is drawn and not radiated warms the board; from its faces it goes off by still or moving air, by published correlations held against a \
         library of heat transfer, and by radiation. Frame and boards take heat along: that share is custom, and the widest doubt of all. Hot \
         spots, and chips hotter than their board, are left out.",
        &[
            "On the bench: antenna on, a fan along it, standby until armed, and no longer than told.",
            "A case over 55 °C burns who holds on, one over 70 °C whoever brushes it. Let it cool, hold the craft by its frame.",
        ],
    )
}

fn wiring() -> AnswerDoc {
    doc(
        "Wiring",
        "Which pad joins which, what is wrong with that, whether every peripheral can have a port, what to solder with gauge, colour \
         and length, what to set, and the first power-up in the safe order. A crossed pair of serial wires is named as why a transmitter \
         is stuck at its lowest level and shows no overlay text. Choose a pad and then another to rewire; every rule answers anew. On the bench under Dry \
         fit, or by `creance draw CRAFT wiring`; with a FILE that ends in .csv the solder list as rows of text.",
        "Nets and crossings follow from what each pad does, which stands on the sheets. The allotment of ports is exact, and so is the smallest set that \
         cannot be had together: both are held against a constraint solver. The diagram says how often its lines cross, how many \
         crossings no tracks could spare, and, where all orders of parts and plugs could be asked, that there is none with fewer. Lengths are led square from pad to pad with slack: good for a first cut.",
        &[
            "Begin at the pack and follow the supply, then the grounds, then each serial pair: send goes to receive and receive to send. A part that is wired \
             and gets no supply or no ground of its own is told too.",
            "Pads in another order than the sheet says are the usual trap: look at the board in your hand, and meter before the first power-up.",
            "Blades off, meter first, a current-limited supply, antenna on: in this order, every time something was soldered.",
            "Where work on packs or radio is for licensed people by your local rules, those rules go before anything said here.",
        ],
    )
}

fn prints() -> AnswerDoc {
    doc(
        "Prints",
        "Which adapter plate, camera wedge, side cheeks or antenna holder the craft needs, with sizes from the craft itself. Shown on the sheet, \
         outlined and said to be not on the craft yet, before it is taken; once it is taken it is a part that every rule judges, and the \
         template shows what is to be drilled for it. On the bench under Dry fit, or by `creance print`.",
        "The solid is closed and exact to the sizes told; the part it becomes has a data sheet's doubt of 0.2 mm, as a print is that far off. \
         Where a sheet cannot say a shape, the part is the larger of the two: a tube counts as square.",
        &[
            "Measure the print before it is fitted: holes come out small and walls thick by 0.1 to 0.2 mm.",
            "Carbon dust harms the lungs and shorts boards: drill it damp, with a mask, and never over the built craft.",
            "Keep prints off the hot face of the transmitter: what softens there lets go in flight.",
            "Strength is not computed. A holder or wedge that cracks is thrown away, not glued.",
        ],
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_answer_says_how_exact_it_is_and_what_to_mind() {
        for one in answers() {
            assert!(!one.answers.is_empty() && one.exact.len() > 60 && !one.mind.is_empty(), "{}", one.title);
            assert!(!one.answers.contains("  "), "{}", one.answers);
        }
    }
}
