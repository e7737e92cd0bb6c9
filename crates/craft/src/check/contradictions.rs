//! Values and wires that cannot be as they are said together.

use super::{Check, CraftFaultKind, Owner, Spot};
use crate::schema::{self, Field, PartKind, air, board, shape};
use crate::{Item, Part, PlugRef, Value};
use quantity::{Celsius, Measure, Milliwatts, Percent, Watts};
use std::collections::HashMap;
use std::fmt;

const SWAP: &str = "swap them, or correct the one that is wrong";

fn at_level(part: &Part, number: usize) -> Spot {
    Spot::of(Owner::Part(part.id.clone()))
        .at_row(air::level::TABLE.key, number)
        .at_key(air::level::DRAW.def.key)
}

impl Check<'_> {
    /// The coldest air is not warmer than the hottest.
    pub(super) fn temperatures(&mut self) {
        let item = self.craft.item();
        let read = |field: &schema::Field<Celsius>| item.read(field).ok().map(|reading| reading.value);
        let (Some(coldest), Some(hottest)) = (read(&schema::craft::COLDEST), read(&schema::craft::HOTTEST))
        else {
            return;
        };
        if coldest > hottest {
            let what = CraftFaultKind::Contradiction {
                one: format!("coldest air {coldest}"),
                other: format!("lies above the hottest, {hottest}"),
                mend: "swap them, or correct the one that is wrong",
            };
            let called = format!("craft {:?}", self.craft.name);
            self.tell(Spot::of(Owner::Craft).at_key("coldest"), &called, what);
        }
    }

    /// What the plan of a flight says together: its phases fit in it, and it ends with less charge than it began with.
    pub(super) fn plan(&mut self) {
        use schema::craft::{CLIMB_SHARE, HOVER_SHARE, LAND_CHARGE, PUNCH, PUNCH_EVERY, START_CHARGE};
        let item = self.craft.item();
        let at = Spot::of(Owner::Craft);
        let called = format!("craft {:?}", self.craft.name);
        if let (Ok(lasts), Ok(every)) = (item.read(&PUNCH), item.read(&PUNCH_EVERY))
            && lasts.value > every.value
        {
            let what = CraftFaultKind::Contradiction {
                one: format!("a punch of {}", lasts.value),
                other: format!("does not end before the next, {} later", every.value),
                mend: "shorten punch, or lengthen punch_every",
            };
            let key = if item.has(&PUNCH.def) { PUNCH.def.key } else { PUNCH_EVERY.def.key };
            self.tell(at.clone().at_key(key), &called, what);
        }
        if let (Ok(start), Ok(land)) = (item.read(&START_CHARGE), item.read(&LAND_CHARGE))
            && land.value >= start.value
        {
            let what = CraftFaultKind::Contradiction {
                one: format!("charge at landing {}", land.value),
                other: format!("is not below the charge at take-off, {}", start.value),
                mend: "nothing would be left to fly with: land with less, or start fuller",
            };
            self.tell(at.clone().at_key(LAND_CHARGE.def.key), &called, what);
        }
        let read = |field| item.read(field).map_or(0.0, |share: crate::Reading<Percent>| share.value.get());
        let [hover, climb] = [&HOVER_SHARE, &CLIMB_SHARE].map(read);
        if hover + climb > 100.0 {
            let key = if item.has(&HOVER_SHARE.def) { HOVER_SHARE.def.key } else { CLIMB_SHARE.def.key };
            let what = CraftFaultKind::Contradiction {
                one: format!("time in hover {}", Percent::new(hover)),
                other: format!("and time in climb {} are more than the whole flight", Percent::new(climb)),
                mend: "lower one of them: what is left is cruise",
            };
            self.tell(at.at_key(key), &called, what);
        }
    }

    /// What a part says of itself must be able to stand together.
    pub(super) fn part_alone(&mut self, part: &Part) {
        self.limits(part);
        self.draws(part);
        self.rails(part);
        for (number, row) in part.rows(&shape::pin::TABLE).enumerate() {
            let at = Spot::of(Owner::Part(part.id.clone())).at_row(shape::pin::TABLE.key, number);
            self.above(&at, &row.called, &row, [&shape::pin::LEAST, &shape::pin::GREATEST], SWAP);
        }
        for (number, row) in part.rows(&shape::port::TABLE).enumerate() {
            let at = Spot::of(Owner::Part(part.id.clone())).at_row(shape::port::TABLE.key, number);
            let mend = "a pin stands its own level: look at the sheet again";
            self.above(&at, &row.called, &row, [&shape::port::LEVEL, &shape::port::STANDS], mend);
            let mend = "it keeps up with its own rate: look at the sheet again";
            self.above(&at, &row.called, &row, [&shape::port::RATE, &shape::port::RATE_MAX], mend);
        }
    }

    /// One quantity is at most another.
    fn above<M: Measure + fmt::Display>(
        &mut self,
        at: &Spot,
        called: &str,
        item: &Item,
        [low, high]: [&Field<M>; 2],
        mend: &'static str,
    ) {
        let (Ok(least), Ok(most)) = (item.read(low), item.read(high)) else { return };
        if least.value > most.value {
            let what = CraftFaultKind::Contradiction {
                one: format!("{} {}", low.def.label, least.value),
                other: format!("lies above the {}, {}", high.def.label, most.value),
                mend,
            };
            // A value that is not left out is the one that can be corrected.
            let key = if item.has(&low.def) { low.def.key } else { high.def.key };
            self.tell(at.clone().at_key(key), called, what);
        }
    }

    /// Least and most, usual and highest, at the part itself.
    fn limits(&mut self, part: &Part) {
        let (item, at) = (part.item(), Spot::of(Owner::Part(part.id.clone())));
        let called = format!("{} {:?}", part.kind.def().plain, part.name);
        self.above(&at, &called, &item, [&air::SUPPLY_MIN, &air::SUPPLY_MAX], SWAP);
        let mend = "it folds back before its limit, or at it: look at the sheet again";
        self.above(&at, &called, &item, [&air::FOLD_BACK, &air::LIMIT_TEMPERATURE], mend);
        self.above(&at, &called, &item, [&air::BAND_LOW, &air::BAND_HIGH], SWAP);
        let mend = "a burst is more than what it carries for good: look at the sheet again";
        self.above(&at, &called, &item, [&board::CONTINUOUS, &board::BURST], mend);
        let mend = "the sink is part of the whole: correct one of them";
        self.above(&at, &called, &item, [&air::BARE_HEIGHT, &air::HEIGHT], mend);
        self.above(&at, &called, &item, [&air::SINK_MASS, &air::MASS], mend);
        if let (Ok(fewest), Ok(most)) = (item.count(&board::CELLS_MIN), item.count(&board::CELLS_MAX))
            && fewest > most
        {
            let what = CraftFaultKind::Contradiction {
                one: format!("fewest cells {fewest}"),
                other: format!("lies above the most cells, {most}"),
                mend: SWAP,
            };
            self.tell(at.at_key(board::CELLS_MIN.def.key), &called, what);
        }
    }

    /// A transmitter takes more than it radiates, more at each level than at the one below, and least at standby. Draws that differ
    /// by no more than their doubts are no contradiction: they wait to be measured.
    fn draws(&mut self, part: &Part) {
        if part.kind != PartKind::VideoTransmitter {
            return;
        }
        let mut levels: Vec<(usize, Milliwatts, crate::Reading<Watts>)> = Vec::new();
        for (number, row) in part.rows(&air::level::TABLE).enumerate() {
            let (Ok(out), Ok(draw)) = (row.read(&air::level::OUT), row.read(&air::level::DRAW)) else {
                continue;
            };
            let at_socket = row.read(&air::level::AT_SOCKET).map(|level| level.value.power());
            let radiates = at_socket.map_or(out.value, |level| level.max(out.value));
            if radiates.get() * 1e-3 >= draw.value.get() {
                let what = CraftFaultKind::Contradiction {
                    one: format!("supply power {}", draw.value),
                    other: format!("is no more than the {radiates} it radiates"),
                    mend: "a transmitter takes several times what it radiates: look at the sheet again",
                };
                self.tell(at_level(part, number), &row.called, what);
                continue;
            }
            levels.push((number, out.value, draw));
        }
        levels.sort_by(|a, b| a.1.get().total_cmp(&b.1.get()));
        for pair in levels.windows(2) {
            let ([_, (number, out, draw)], [(_, below, less), _]) = (pair, pair) else { continue };
            let same = out == below && draw.value != less.value;
            let falls = draw.value.get() + draw.doubt.plus < less.value.get() - less.doubt.minus;
            if same || falls {
                let what = CraftFaultKind::Contradiction {
                    one: format!("supply power {} at {out}", draw.value),
                    other: match same {
                        true => format!("stands beside {} at the same level", less.value),
                        false => format!("is less than the {} at {below}", less.value),
                    },
                    mend: match same {
                        true => "state one supply power for each level",
                        false => "a higher level takes more: look at the sheet again",
                    },
                };
                let called = format!("level {} of {:?}", number + 1, part.name);
                self.tell(at_level(part, *number), &called, what);
            }
        }
        let item = part.item();
        let Ok(standby) = item.read(&air::STANDBY_DRAW).map(|draw| draw.value) else { return };
        let called = format!("{} {:?}", part.kind.def().plain, part.name);
        let at = Spot::of(Owner::Part(part.id.clone()));
        let least = levels.iter().min_by(|a, b| a.2.value.get().total_cmp(&b.2.value.get()));
        if let Some((_, out, draw)) = least.filter(|(_, _, draw)| standby > draw.value) {
            let what = CraftFaultKind::Contradiction {
                one: format!("supply power at standby {standby}"),
                other: format!("is more than the {} at {out}", draw.value),
                mend: "at standby the radio hardly runs: look at the sheet again",
            };
            self.tell(at.clone().at_key(air::STANDBY_DRAW.def.key), &called, what);
        }
        if let (Ok(peak), Ok(most)) = (item.read(&air::START_PEAK), item.read(&air::SUPPLY_MAX))
            && peak.value.get() * most.value.get() < standby.get()
        {
            let takes = Watts::new(peak.value.get() * most.value.get());
            let what = CraftFaultKind::Contradiction {
                one: format!("start-up peak {}", peak.value),
                other: format!("is {takes} even at its greatest supply, less than the {standby} at standby"),
                mend: "a peak is more than what it takes for good: look at the sheet again",
            };
            self.tell(at.at_key(air::START_PEAK.def.key), &called, what);
        }
    }

    /// The input of a converter suits its output, and its limits stand in order. Each fault names its rail.
    fn rails(&mut self, part: &Part) {
        use shape::rail;
        for (number, row) in part.rows(&rail::TABLE).enumerate() {
            let at = Spot::of(Owner::Part(part.id.clone())).at_row(rail::TABLE.key, number);
            self.above(&at, &row.called, &row, [&rail::INPUT_MIN, &rail::INPUT_MAX], SWAP);
            if let (Ok(from), Ok(to)) = (row.read(&rail::DERATES_FROM), row.read(&rail::DERATES_TO))
                && from.value >= to.value
            {
                let what = CraftFaultKind::Contradiction {
                    one: format!("it gives less from {} on", from.value),
                    other: format!("and gives nothing at {} already", to.value),
                    mend: SWAP,
                };
                self.tell(at.clone().at_key(rail::DERATES_FROM.def.key), &row.called, what);
            }
            let (Ok(out), Ok(how)) = (row.read(&rail::OUT), row.text(&rail::CONVERSION)) else { continue };
            let wrong = match (how, row.read(&rail::INPUT_MIN), row.read(&rail::INPUT_MAX)) {
                ("step-up", Ok(least), _) if out.value <= least.value => Some((
                    format!("is not above its least input, {}", least.value),
                    "a step-up gives more than it is given: correct one of them, or say step-down",
                )),
                ("step-down" | "linear", _, Ok(most)) if out.value > most.value => Some((
                    format!("is above its greatest input, {}", most.value),
                    "it gives less than it is given: correct one of them, or say step-up",
                )),
                _ => None,
            };
            if let Some((other, mend)) = wrong {
                let one = format!("output {} of a {how} converter", out.value);
                let what = CraftFaultKind::Contradiction { one, other, mend };
                self.tell(at.at_key(rail::CONVERSION.def.key), &row.called, what);
            }
        }
    }

    /// No wire goes from a pad to itself, and none is there twice, whichever way round.
    pub(super) fn wires(&mut self) {
        let craft = self.craft;
        let mut seen: HashMap<[String; 2], usize> = HashMap::new();
        for (number, row) in craft.rows(&schema::wiring::wire::TABLE).enumerate() {
            let end = |key: &str| match row.values.get(key) {
                Some(Value::Text(text)) => {
                    PlugRef::read(text).map(|pad| format!("{}/{}", pad.place, pad.plug))
                }
                _ => None,
            };
            let (Some(from), Some(to)) = (end("from"), end("to")) else { continue };
            let at = Spot::of(Owner::Craft).at_row(schema::wiring::wire::TABLE.key, number).at_key("to");
            if from == to {
                self.tell(at, &row.called, CraftFaultKind::WireToItself { pad: from });
                continue;
            }
            let mut ends = [from, to];
            let said = ends.clone();
            ends.sort();
            match seen.get(&ends) {
                Some(first) => {
                    let what = CraftFaultKind::WireTwice { ends: said, first: first + 1 };
                    self.tell(at, &row.called, what);
                }
                None => {
                    seen.insert(ends, number);
                }
            }
        }
    }
}
