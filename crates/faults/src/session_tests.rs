//! What a session keeps, and what it refuses.
#![allow(clippy::unwrap_used)]

use super::*;

#[test]
fn what_is_taken_back_no_longer_counts_but_stays_on_record() {
    let (base, _) = Base::embedded();
    let mut session = Session::begin(&base, "no_picture_no_camera_light", "12:00").unwrap();
    assert_eq!(session.complaint, "no_picture");
    let seen = |id: &str, seen| Answer::Sign { id: id.into(), seen };
    session.answer(&base, seen("air_dark", 0.7), "12:02").unwrap();
    session.take_back(1, "12:03").unwrap();
    assert_eq!(session.evidence(&base).0.seen.len(), 1);
    assert_eq!(session.entries[0].taken_back.as_deref(), Some("12:03"));
    assert_eq!(
        session.take_back(3, "12:04").unwrap_err().to_string(),
        "there is no answer number 3; the session has 2"
    );
    assert_eq!(
        session.take_back(0, "12:04").unwrap_err().to_string(),
        "there is no answer number 0; the session has 2"
    );
}

#[test]
fn unknown_ids_and_outcomes_are_told() {
    let (base, _) = Base::embedded();
    let told = |answer: Answer| {
        let mut session = Session::begin(&base, "no_picture", "").unwrap();
        session.answer(&base, answer, "").unwrap_err().to_string()
    };
    assert_eq!(
        told(Answer::Sign { id: "camera_ligth_off".into(), seen: 1.0 }),
        "there is no sign \"camera_ligth_off\"; did you mean \"camera_light_off\"?"
    );
    assert_eq!(
        told(Answer::Test { id: "swap_harness".into(), outcome: "better".into(), sure: 1.0 }),
        "test \"swap_harness\" has no outcome \"better\"; say one of returns, same"
    );
    assert_eq!(
        told(Answer::Sign { id: "air_dark".into(), seen: f64::NAN }),
        "a likelihood of NaN must be from 0 to 1, such as 0.7 for perhaps"
    );
    assert_eq!(
        Session::begin(&base, "no_pictur", "").unwrap_err().to_string(),
        "there is no sign or complaint \"no_pictur\"; did you mean \"no_picture\"?"
    );
}

#[test]
fn what_was_at_hand_is_carried_on_but_not_a_spare_that_was_used() {
    let base = Base::embedded().0;
    let mut first = Session::begin(&base, "no_picture", "1").unwrap();
    for (fact, holds) in [("spare_harness", true), ("spare_camera", true), ("recent_crash", true)] {
        first.say(&base, fact, holds).unwrap();
    }
    let tool = base.tools[0].clone();
    first.tool(&base, &tool, false).unwrap();
    let mut second = Session::begin(&base, "no_picture", "2").unwrap();
    second.carry(&base, &first);
    assert_eq!(second.facts.keys().collect::<Vec<_>>(), ["spare_camera", "spare_harness"]);
    assert_eq!((second.lacking.clone(), second.carried.len()), (vec![tool], 2));
    second.say(&base, "spare_camera", false).unwrap();
    assert!(!second.carried.contains("spare_camera"), "said here, it is no longer carried");

    let swap = base.tests.iter().find(|test| test.needs.contains(&base.fact("spare_harness").unwrap()));
    let repair = base.repairs[swap.unwrap().stands_for.unwrap()].id.clone();
    let verdict = Verdict { at: "3".into(), causes: vec![], repair: Some(repair), words: String::new() };
    first.end(&base, verdict).unwrap();
    let mut third = Session::begin(&base, "no_picture", "4").unwrap();
    third.carry(&base, &first);
    assert_eq!(third.facts.keys().collect::<Vec<_>>(), ["spare_camera"], "the harness is on the craft now");
}

#[test]
fn nothing_is_added_after_the_verdict() {
    let (base, _) = Base::embedded();
    let mut session = Session::begin(&base, "no_picture", "").unwrap();
    let verdict = Verdict {
        at: "x".into(),
        causes: vec!["harness_damaged".into()],
        repair: Some("replace_harness".into()),
        words: String::new(),
    };
    let wrong = Verdict { causes: vec!["harnes_damaged".into()], ..verdict.clone() };
    assert!(session.end(&base, wrong).unwrap_err().to_string().contains("did you mean \"harness_damaged\""));
    session.end(&base, verdict.clone()).unwrap();
    assert_eq!(session.end(&base, verdict), Err(SessionFault::Ended));
    assert_eq!(
        session.answer(&base, Answer::Repair { id: "refocus_and_lock".into(), gone: true }, ""),
        Err(SessionFault::Ended)
    );
    assert!(session.lesson(&base).is_some());
}

#[test]
fn a_cause_named_twice_teaches_once_and_a_clash_teaches_nothing() {
    let (base, _) = Base::embedded();
    let ended = |seen: &[&str]| {
        let mut session = Session::begin(&base, "no_picture", "").unwrap();
        for id in seen {
            session.answer(&base, Answer::Sign { id: (*id).into(), seen: 1.0 }, "").unwrap();
        }
        let causes = vec!["harness_damaged".to_owned(); 3];
        session.end(&base, Verdict { at: "x".into(), causes, repair: None, words: String::new() }).unwrap();
        session
    };
    let once = ended(&[]);
    assert_eq!(once.verdict.as_ref().unwrap().causes, ["harness_damaged"]);
    assert_eq!(once.lesson(&base).unwrap().0.len(), 1);
    assert!(ended(&["air_dark", "text_without_picture"]).lesson(&base).is_none());
}
