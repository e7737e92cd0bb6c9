//! Is each lead long enough for the shortest way it can lie, and not too long?

use crate::limits::LEAD_SLACK;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{End, Fold, FoldPlace, Lead, LeadWay, Unlaid, end, fold_place};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{place as place_schema, shape::plug};
use fit::{LeadKind, NoRoute, Slack, SolidIndex, StockFit};
use quantity::{FigureId, Unit};

rule! {
    /// Is each lead long enough for the shortest way it can lie, and not too long?
    ///
    /// ## Why
    /// A lead too short pulls at its plugs whenever the camera tilts or a soft mount gives. One far too long must be
    /// folded somewhere, and finds the blades.
    ///
    /// ## Sound when
    /// The lead is longer than the shortest way round everything and what its two plugs take, with 5 mm and more of
    /// slack, surely enough. Less is tight, too short broken; more than 35 mm to spare is tight, since it must be
    /// folded. Wanted are 5 to 12 mm, or 8 % of the way where that is more.
    ///
    /// ## Rests on
    /// Where the plugs are, all that stands between them, the lead's thickness, bend and length, each with its doubt.
    /// The way keeps from blades, hot faces and carbon edges what they need. Allowances and stock lengths are common
    /// practice.
    ///
    /// ## Mend
    /// Order the stock length that is named. Fold what is over where no blade and no hot face is.
    HARNESS_LENGTH = "fit.harness_length", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for lead in proof.leads() {
        let finding = match &lead.way {
            Ok(way) => judge(proof, lead, way, &mut answer),
            Err(why) => unlaid(proof, lead, why),
        };
        answer.findings.extend(finding.map(|finding| finding.at(lead.places(proof))));
    }
    answer
}

/// `None` where the cause is told elsewhere.
fn unlaid(proof: &Proof, lead: &Lead, why: &Unlaid) -> Option<Finding> {
    let subject = lead.called(proof);
    match why {
        Unlaid::Missing(missing) => Some(Finding::unknown(HARNESS_LENGTH.id, subject, missing.clone())),
        Unlaid::Unbuilt => None,
        Unlaid::Nowhere(text) => {
            let message = format!(
                "Nobody can say yet how long it must be: it goes to \"{text}\", and that is no plug that stands somewhere"
            );
            let finding = Finding::new(HARNESS_LENGTH.id, Verdict::Unknown, subject, message);
            Some(finding.mend("Name the place and the plug as they are called, as place/plug."))
        }
        Unlaid::NoRoute(none) => Some(no_route(proof, lead, none)),
    }
}

fn no_route(proof: &Proof, lead: &Lead, none: &NoRoute) -> Finding {
    let subject = lead.called(proof);
    let tip = |n: usize| lead.tips[n].as_ref().map_or("its end", |tip| tip.called.as_str());
    let named = |solid: &SolidIndex| {
        proof.inputs().solids.get(solid.0 as usize).map_or("something", |s| s.solid.name.as_str()).to_owned()
    };
    let found = |message: String| Finding::new(HARNESS_LENGTH.id, Verdict::Broken, subject.clone(), message);
    match none {
        NoRoute::EndInside { second, solid, depth, .. } => {
            let (name, plug) = (named(solid), tip(usize::from(*second)));
            let deep = mm(depth.get());
            found(format!("There is no way for it: where it leaves {plug} it would be {deep} inside {name}"))
                .mend(format!("Move {plug} and {name} apart, or enter which way the lead leaves that plug."))
        }
        NoRoute::Closed { solid, .. } => {
            let name = named(solid);
            found(format!(
                "There is no way for it from {} to {}: {name} closes the last gap that is as wide as the lead and its air",
                tip(0),
                tip(1)
            ))
            .mend(format!("Make room at {name}, or turn the unit so that its plug looks toward free air."))
        }
        NoRoute::TooNarrow { solid, other, short_by, .. } => {
            let (name, short) = (named(solid), mm(short_by.get()));
            let told = |way: String| {
                format!("There is no way for it: the best one passes {way} with {short} too little air")
            };
            match other.as_ref().map(|(other, _)| named(other)) {
                Some(other) => found(told(format!("between {name} and {other}"))).mend(format!(
                    "Move {name} or {other} by that much from the other, or take a thinner lead."
                )),
                None => found(told(name.clone()))
                    .mend(format!("Move {name} by that much, or take a thinner lead.")),
            }
        }
        NoRoute::NotANumber { what } => Finding::new(
            HARNESS_LENGTH.id,
            Verdict::Unknown,
            subject,
            format!("Nobody can say yet: its {what} is out of all bounds"),
        )
        .mend("Check the numbers of its plugs and its thickness."),
    }
}

fn judge(proof: &Proof, lead: &Lead, way: &LeadWay, answer: &mut Answer) -> Option<Finding> {
    let subject = lead.called(proof);
    let own = match &way.own {
        Ok(own) => own,
        Err(missing) => {
            let finding = Finding::unknown(HARNESS_LENGTH.id, subject, vec![missing.clone()]);
            return Some(finding.mend(order(proof, lead, way)));
        }
    };
    let judged = standing(proof, &own.slack, &LEAD_SLACK);
    let verdict = match judged.verdict {
        Verdict::Sound if own.suits == Slack::MustFold => Verdict::Tight,
        verdict => verdict,
    };
    let id = format!("fit.harness_slack[{}]", proof.craft.places[lead.place].id);
    answer.figures.push(figure(proof, lead, way, own, &id));
    let (shortest, slack) = (mm(way.route.length.value), own.slack.value);
    let whole = own.length.get() + way.joints.get();
    let length = if lead.joined.is_empty() { mm(whole) } else { format!("{} in all", mm(whole)) };
    let taken = match way.joints.get() {
        0.0 => plugs(lead.kind),
        joints => format!("{}, what is joined {}", plugs(lead.kind), mm(joints)),
    };
    let message = match verdict {
        Verdict::Broken => format!(
            "The shortest way is {shortest} and its plugs take {taken}: with {length} it is {} short",
            mm(-slack.min(0.0))
        ),
        _ => format!(
            "The shortest way is {shortest} and its plugs take {taken}: with {length} the slack is {}",
            mm(slack)
        ),
    };
    let message = match own.suits {
        Slack::MustFold => format!("{message}, which must be folded"),
        Slack::Ample => format!("{message}, more than it needs"),
        _ => message,
    };
    let mut finding = judged.finding(HARNESS_LENGTH.id, subject, message);
    finding.verdict = verdict;
    finding.figure = Some(FigureId(id.into()));
    if verdict == Verdict::Sound {
        return Some(finding);
    }
    if let Some(advice) = finding.measure_next.as_ref().filter(|_| verdict != Verdict::Broken) {
        let measure = format!("Measure the {} first: it decides.", advice.label);
        finding = finding.mend(measure);
    }
    finding = finding.mend(order(proof, lead, way));
    if own.suits == Slack::MustFold {
        finding = finding.mend(fold(proof, lead, way, own));
    }
    Some(finding)
}

/// Where what is over can be folded.
fn fold(proof: &Proof, lead: &Lead, way: &LeadWay, own: &StockFit) -> String {
    let [_, most] = way.slack_wanted(lead.kind);
    let over = own.slack.value - most;
    let told = |fold: &Fold| {
        let [long, across, wide] = fold.size.map(f64::ceil);
        let folds = if fold.folds == 1 { "one fold".to_owned() } else { format!("{} folds", fold.folds) };
        format!(
            "in {folds} of about {long:.0} × {across:.0} × {wide:.0} mm, {:.0} mm along it from {}, beside {}",
            fold.along, fold.from, fold.beside
        )
    };
    match fold_place(proof, lead, way, over) {
        FoldPlace::Whole(fold) => format!("Or lay {over:.0} mm of it {}.", told(&fold)),
        FoldPlace::Part(fold) => {
            let enough = (own.length.get() - (over - fold.spare)).floor();
            let (found, at) = (fold.spare, told(&fold));
            format!(
                "There is no place for {over:.0} mm in folds, only for about {found:.0} mm: a lead of {enough:.0} mm would go {at}."
            )
        }
        FoldPlace::Nowhere => {
            format!("There is no place for {over:.0} mm in folds: a shorter lead is the only mend.")
        }
    }
}

/// What both plugs take of a lead, in words.
fn plugs(kind: LeadKind) -> String {
    let [least, most] = kind.practice().plug_allowance;
    mm(least.get() + most.get())
}

/// What to order.
pub(crate) fn order(proof: &Proof, lead: &Lead, way: &LeadWay) -> String {
    let practice = lead.kind.practice();
    let taken: f64 =
        way.route.length.value + practice.plug_allowance.iter().map(|end| end.get()).sum::<f64>();
    let [least, most] = way.slack_wanted(lead.kind).map(|slack| (taken + slack).ceil());
    let between = format!("{least:.0} to {most:.0} mm");
    let instead = if lead.joined.is_empty() { "" } else { ", in place of those that are joined" };
    match (&way.order, lead.kind) {
        (_, LeadKind::Coax) => format!("Order a pigtail of {between}, plug tip to plug tip{instead}."),
        (Some(fit), _) => {
            let faces = wanted_faces(proof, lead)
                .map_or(String::new(), |faces| format!(", with its contacts on {faces}"));
            format!(
                "It wants {between}: order the stock length of {:.0} mm{faces}{instead}; its slack is then {}.",
                fit.length.get(),
                mm(fit.slack.value)
            )
        }
        (None, _) => format!("It wants {between}, and no stock length reaches: bring the two units nearer."),
    }
}

/// On which faces the sockets want the contacts of a harness.
fn wanted_faces(proof: &Proof, lead: &Lead) -> Option<&'static str> {
    let placed = proof.placed_number(lead.place)?;
    let face = |field| match end(proof, placed.place, field) {
        End::Plug(_, row) => row.text(&plug::FACE).ok().map(str::to_owned),
        _ => None,
    };
    match face(&place_schema::FROM).or_else(|| face(&place_schema::TO))?.as_str() {
        "same" => Some("the same face"),
        _ => Some("opposite faces"),
    }
}

fn figure(proof: &Proof, lead: &Lead, way: &LeadWay, own: &StockFit, id: &str) -> quantity::Figure {
    let practice = lead.kind.practice();
    let [at_one, at_other] = practice.plug_allowance;
    let stock =
        way.stock.iter().map(|fit| format!("{:.0} mm leaves {}", fit.length.get(), mm(fit.slack.value)));
    let stock = stock.collect::<Vec<_>>().join(", ");
    let origin = if stock.is_empty() {
        "shortest way round the solids".to_owned()
    } else {
        format!("shortest way round the solids; in stock: {stock}")
    };
    let lines = Lines::of(proof);
    let lines = match way.joints.get() {
        0.0 => lines.given(
            "length of the lead, plug tip to plug tip",
            own.length.get(),
            Unit::Millimetres,
            "its part",
        ),
        joints => lines
            .given(
                "length of the leads less their joints",
                own.length.get(),
                Unit::Millimetres,
                "their parts",
            )
            .given("taken by joints, as one plug takes", joints, Unit::Millimetres, practice.source.line()),
    };
    lines
        .result("shortest way", &way.route.length, Unit::Millimetres, origin)
        .given("taken by the one plug", at_one.get(), Unit::Millimetres, practice.source.line())
        .given("taken by the other plug", at_other.get(), Unit::Millimetres, practice.source.line())
        .facts(&own.slack)
        .figure(
            id.to_owned(),
            "slack of a lead that is plugged in",
            (&own.slack, Unit::Millimetres),
            "length - shortest way - both plugs",
            practice.source,
        )
}

#[cfg(test)]
mod tests {
    use super::HARNESS_LENGTH;
    use crate::testing::set;
    use crate::testing_stack::led_told;
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&led_told(&HARNESS_LENGTH, spoil));
    }

    #[test]
    fn a_lead_with_some_slack_is_sound() {
        check(
            |_| {},
            expect![[r#"
                sound · flat harness · 16.61 mm · 100 %
                  The shortest way is 36.4 mm and its plugs take 7 mm: with 60 mm the slack is 16.6 mm, more than it needs
                sound · pigtail · 23.168 mm · 100 %
                  The shortest way is 32.8 mm and its plugs take 4 mm: with 60 mm the slack is 23.2 mm, more than it needs
            "#]],
        );
    }

    #[test]
    fn too_short_is_broken_and_names_the_length_to_order() {
        check(
            |craft| set(craft, "flat.length", "30 mm, measured"),
            expect![[r#"
                broken · flat harness · -13.39 mm · 0 %
                  The shortest way is 36.4 mm and its plugs take 7 mm: with 30 mm it is 13.4 mm short
                  > It wants 49 to 56 mm: order the stock length of 60 mm, with its contacts on opposite faces; its slack is then 16.6 mm.
                sound · pigtail · 23.168 mm · 100 %
                  The shortest way is 32.8 mm and its plugs take 4 mm: with 60 mm the slack is 23.2 mm, more than it needs
            "#]],
        );
    }

    #[test]
    fn far_too_long_must_be_folded_where_there_is_room() {
        check(
            |craft| set(craft, "flat.length", "120 mm, measured"),
            expect![[r#"
                tight · flat harness · 76.61 mm · 100 %
                  The shortest way is 36.4 mm and its plugs take 7 mm: with 120 mm the slack is 76.6 mm, which must be folded
                  > It wants 49 to 56 mm: order the stock length of 60 mm, with its contacts on opposite faces; its slack is then 16.6 mm.
                  > Or lay 65 mm of it in one fold of about 28 × 22 × 2 mm, 19 mm along it from plug harness of nano camera, beside components on flight controller.
                sound · pigtail · 23.168 mm · 100 %
                  The shortest way is 32.8 mm and its plugs take 4 mm: with 60 mm the slack is 23.2 mm, more than it needs
            "#]],
        );
    }

    #[test]
    fn more_to_fold_takes_more_room_and_at_last_finds_none() {
        let told = |length: &str| {
            let all = led_told(&HARNESS_LENGTH, |craft| set(craft, "flat.length", length));
            all.lines()
                .find(|line| line.contains("in folds") || line.contains("Or lay"))
                .map(|line| line.trim().to_owned())
        };
        expect![[r#"
            > Or lay 35 mm of it in one fold of about 13 × 22 × 2 mm, 26 mm along it from plug harness of nano camera, beside components on flight controller.
            > Or lay 65 mm of it in one fold of about 28 × 22 × 2 mm, 19 mm along it from plug harness of nano camera, beside components on flight controller.
            > There is no place for 195 mm in folds, only for about 49 mm: a lead of 104 mm would go in one fold of about 20 × 22 × 2 mm, 22 mm along it from plug harness of nano camera, beside components on flight controller.
            > There is no place for 345 mm in folds, only for about 43 mm: a lead of 98 mm would go in one fold of about 18 × 22 × 2 mm, 22 mm along it from plug harness of nano camera, beside components on flight controller."#]]
        .assert_eq(
            &["90 mm", "120 mm", "250 mm", "400 mm"]
                .map(|length| told(length).unwrap_or_default())
                .join("\n"),
        );
    }

    #[test]
    fn a_lead_that_nothing_lets_through_is_told_so() {
        check(
            |craft| {
                set(craft, "flat.bundle_thickness", "20 mm, measured");
            },
            expect![[r#"
                broken · flat harness
                  There is no way for it from plug harness of nano camera to plug camera of video transmitter: plate bottom of bay frame closes the last gap that is as wide as the lead and its air
                  > Make room at plate bottom of bay frame, or turn the unit so that its plug looks toward free air.
                sound · pigtail · 23.168 mm · 100 %
                  The shortest way is 32.8 mm and its plugs take 4 mm: with 60 mm the slack is 23.2 mm, more than it needs
            "#]],
        );
    }

    #[test]
    fn a_way_that_is_closed_names_both_that_stand_in_it_and_the_mend() {
        let craft = crate::testing_stack::led_bay();
        let proof = crate::Proof::new(&craft);
        let lead = &proof.leads()[0];
        let mm = quantity::Millimetres::new;
        let name = |n: u32| proof.inputs().solids[n as usize].solid.name.clone();
        let (solid, at) = (fit::SolidIndex(3), fit::BodyPoint::ORIGIN);
        let told = |none: &fit::NoRoute| {
            let finding = super::no_route(&proof, lead, none);
            format!("{} > {}", finding.message, finding.mends.join(" > "))
        };
        for (second, tip) in [(false, 0), (true, 1)] {
            let plug = &lead.tips[tip].as_ref().map_or("", |tip| tip.called.as_str()).to_owned();
            let text = told(&fit::NoRoute::EndInside { second, solid, name: name(3), depth: mm(2.0) });
            assert!(text.contains(&format!("leaves {plug} it would be 2 mm inside {}", name(3))), "{text}");
            assert!(text.contains(&format!("> Move {plug} and {} apart", name(3))), "{text}");
        }
        let other = Some((fit::SolidIndex(5), name(5)));
        let text = told(&fit::NoRoute::TooNarrow { solid, name: name(3), other, at, short_by: mm(0.7) });
        let both = format!("between {} and {} with 0.7 mm too little air", name(3), name(5));
        assert!(
            text.contains(&both) && text.contains(&format!("Move {} or {} by that much", name(3), name(5))),
            "{text}"
        );
        let text =
            told(&fit::NoRoute::TooNarrow { solid, name: name(3), other: None, at, short_by: mm(0.7) });
        assert!(text.contains(&format!("passes {} with 0.7 mm too little air", name(3))), "{text}");
    }

    #[test]
    fn missing_facts_are_named() {
        check(
            |craft| set(craft, "flat.length", ""),
            expect![[r#"
                unknown · flat harness
                  Nobody can say yet: the length of "flat harness" is not known
                  > Measure or look up the length of "flat harness".
                  > It wants 49 to 56 mm: order the stock length of 60 mm, with its contacts on opposite faces; its slack is then 16.6 mm.
                sound · pigtail · 23.168 mm · 100 %
                  The shortest way is 32.8 mm and its plugs take 4 mm: with 60 mm the slack is 23.2 mm, more than it needs
            "#]],
        );
        check(
            |craft| set(craft, "flat.bundle_thickness", ""),
            expect![[r#"
            unknown · flat harness
              Nobody can say yet: the bundle thickness of "flat harness" is not known
              > Measure or look up the bundle thickness of "flat harness".
            sound · pigtail · 23.168 mm · 100 %
              The shortest way is 32.8 mm and its plugs take 4 mm: with 60 mm the slack is 23.2 mm, more than it needs
        "#]],
        );
        check(
            |craft| set(craft, "place flat.to", ""),
            expect![[r#"
            unknown · flat harness
              Nobody can say yet: the plug it ends at of place "flat" is not known
              > Measure or look up the plug it ends at of place "flat".
            sound · pigtail · 23.168 mm · 100 %
              The shortest way is 32.8 mm and its plugs take 4 mm: with 60 mm the slack is 23.2 mm, more than it needs
        "#]],
        );
        check(
            |craft| set(craft, "place flat.to", "vtx/camra"),
            expect![[r#"
            unknown · flat harness
              Nobody can say yet how long it must be: it goes to "vtx/camra", and that is no plug that stands somewhere
              > Name the place and the plug as they are called, as place/plug.
            sound · pigtail · 23.168 mm · 100 %
              The shortest way is 32.8 mm and its plugs take 4 mm: with 60 mm the slack is 23.2 mm, more than it needs
        "#]],
        );
    }
}
