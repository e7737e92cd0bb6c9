//! Sheets that say two things which cannot both be: each is told by line, with the mend; the same sheet with the edge itself is taken in.
#![allow(clippy::unwrap_used)]

use crate::read_sheet;

/// The faults of a part alone on its sheet.
fn told(kind: &str, lines: &str) -> Vec<String> {
    let part = if kind.is_empty() {
        String::new()
    } else {
        format!("\n[part.it]\nkind = \"{kind}\"\nname = \"it\"")
    };
    let sheet = format!("creance_sheet = 1\n\n[craft]\nid = \"wren\"\nname = \"Wren\"{part}\n{lines}\n");
    let faults = read_sheet(&sheet).faults.into_iter();
    faults
        .filter(|fault| fault.severity == crate::sheet::Severity::Refused)
        .map(|fault| fault.to_string())
        .collect()
}

fn is_told(kind: &str, lines: &str, words: &str) {
    let all = told(kind, lines);
    assert!(
        all.len() == 1 && all[0].contains(words),
        "{lines}\nshould be told once by: {words}\nand is: {all:#?}"
    );
}

fn is_fine(kind: &str, lines: &str) {
    assert_eq!(told(kind, lines), [""; 0], "{lines}");
}

/// Two levels of a transmitter.
fn levels(low: [&str; 2], high: [&str; 2]) -> String {
    let row = |[out, draw]: [&str; 2]| format!("[[part.it.level]]\nout = \"{out}\"\ndraw = \"{draw}\"\n");
    row(low) + &row(high)
}

#[test]
fn least_is_not_above_most() {
    let pairs = [
        (
            "video_transmitter",
            "supply_min",
            "supply_max",
            "5 V",
            "9 V",
            "least supply 9 V lies above the greatest supply, 5 V",
        ),
        (
            "video_transmitter",
            "fold_back",
            "limit_temperature",
            "80 °C",
            "90 °C",
            "fold-back temperature 90 °C lies above the limit temperature, 80 °C; it folds back before its limit",
        ),
        (
            "video_transmitter",
            "band_low",
            "band_high",
            "5650 MHz",
            "5950 MHz",
            "lowest frequency 5950 MHz lies above the highest frequency, 5650 MHz",
        ),
        (
            "video_transmitter",
            "bare_height",
            "height",
            "6 mm",
            "9 mm",
            "height without sink 9 mm lies above the height, 6 mm",
        ),
        (
            "video_transmitter",
            "sink_mass",
            "mass",
            "6 g",
            "9 g",
            "mass of its sink 9 g lies above the mass, 6 g",
        ),
        (
            "speed_controller",
            "continuous",
            "burst",
            "20 A",
            "30 A",
            "continuous current 30 A lies above the burst current, 20 A",
        ),
        (
            "flight_controller",
            "supply_min",
            "supply_max",
            "7 V",
            "26 V",
            "least supply 26 V lies above the greatest supply, 7 V",
        ),
    ];
    for (kind, low, high, less, more, words) in pairs {
        is_told(kind, &format!("{low} = \"{more}\"\n{high} = \"{less}\""), words);
        is_fine(kind, &format!("{low} = \"{less}\"\n{high} = \"{more}\""));
        is_fine(kind, &format!("{low} = \"{less}\"\n{high} = \"{less}\""));
    }
    is_told("motor", "cells_min = 4\ncells_max = 3", "fewest cells 4 lies above the most cells, 3");
    is_fine("motor", "cells_min = 3\ncells_max = 3");
}

#[test]
fn a_higher_level_takes_more_beyond_what_is_doubtful() {
    let kind = "video_transmitter";
    is_told(
        kind,
        &levels(["25 mW", "8.6 W ± 0.1, measured"], ["500 mW", "5 W ± 0.1, measured"]),
        "supply power 5 W at 500 mW is less than the 8.6 W at 25 mW; a higher level takes more",
    );
    // The order of the rows is nobody's matter.
    is_told(
        kind,
        &levels(["500 mW", "5 W ± 0.1, measured"], ["25 mW", "8.6 W ± 0.1, measured"]),
        "level 1 of \"it\": supply power 5 W at 500 mW is less than the 8.6 W at 25 mW",
    );
    // Within their doubts nobody can say which of two takes more.
    is_fine(kind, &levels(["25 mW", "5 W ± 0.3, measured"], ["200 mW", "4.9 W ± 0.3, measured"]));
    is_told(
        kind,
        &levels(["25 mW", "5 W"], ["25 mW", "6 W"]),
        "supply power 6 W at 25 mW stands beside 5 W at the same level; state one supply power",
    );
    is_told(
        kind,
        "[[part.it.level]]\nout = \"1000 mW\"\ndraw = \"0.9 W\"",
        "supply power 0.9 W is no more than the 1000 mW it radiates",
    );
    is_told(
        kind,
        "[[part.it.level]]\nout = \"25 mW\"\ndraw = \"0.9 W\"\nat_socket = \"30 dBm\"",
        "supply power 0.9 W is no more than the 1000 mW it radiates",
    );
}

#[test]
fn a_start_takes_more_than_standby() {
    let peak =
        |amperes: &str| format!("supply_max = \"5 V\"\nstandby_draw = \"2 W\"\nstart_peak = \"{amperes}\"");
    is_told(
        "video_transmitter",
        &peak("0.2 A"),
        "start-up peak 0.2 A is 1 W even at its greatest supply, less than the 2 W at standby",
    );
    is_fine("video_transmitter", &peak("0.5 A"));
}

#[test]
fn faults_of_a_converter_name_their_rail() {
    let kind = "flight_controller";
    let rail = |lines: &str| {
        format!(
            "[[part.it.rail]]\nname = \"5 V\"\nout = \"5 V\"\ncurrent = \"2 A\"\n[[part.it.rail]]\nname = \"9 V\"\nout = \"9 V\"\ncurrent = \"1 A\"\n{lines}"
        )
    };
    let cases = [
        (
            "input_min = \"27 V\"\ninput_max = \"10 V\"",
            "least input 27 V lies above the greatest input, 10 V",
        ),
        (
            "derates_from = \"100 °C\"\nderates_to = \"60 °C\"",
            "it gives less from 100 °C on and gives nothing at 60 °C already",
        ),
        (
            "conversion = \"step-up\"\ninput_min = \"9 V\"",
            "output 9 V of a step-up converter is not above its least input, 9 V",
        ),
        (
            "conversion = \"step-down\"\ninput_max = \"8 V\"",
            "output 9 V of a step-down converter is above its greatest input, 8 V",
        ),
        (
            "conversion = \"linear\"\ninput_max = \"8 V\"",
            "output 9 V of a linear converter is above its greatest input, 8 V",
        ),
    ];
    for (lines, words) in cases {
        is_told(kind, &rail(lines), words);
        is_told(kind, &rail(lines), "rail \"9 V\" of \"it\"");
    }
    is_fine(kind, &rail("conversion = \"step-down\"\ninput_min = \"10 V\"\ninput_max = \"27 V\""));
    is_fine(kind, &rail("conversion = \"step-up\"\ninput_min = \"2.5 V\"\ninput_max = \"5.6 V\""));
}

#[test]
fn pads_and_ports_stand_what_they_are_made_for() {
    is_told(
        "flight_controller",
        "[[part.it.pin]]\nname = \"VIN\"\nnumber = 1\nleast = \"9 V\"\ngreatest = \"5 V\"",
        "pin \"VIN\" of \"it\": least voltage 9 V lies above the greatest voltage, 5 V",
    );
    is_told(
        "flight_controller",
        "[[part.it.port]]\nname = \"1\"\nlevel = \"5 V\"\nstands = \"3.6 V\"",
        "signal level 5 V lies above the highest level it stands, 3.6 V",
    );
    is_told(
        "flight_controller",
        "[[part.it.port]]\nname = \"1\"\nrate = \"460800 Bd\"\nrate_max = \"115200 Bd\"",
        "lies above the highest bit rate",
    );
}

#[test]
fn a_plan_fits_in_its_flight() {
    is_told("", "punch = \"30 s\"", "a punch of 30 s does not end before the next, 20 s later");
    is_told(
        "",
        "hover_share = \"60 %\"\nclimb_share = \"50 %\"",
        "time in hover 60 % and time in climb 50 % are more than the whole flight",
    );
    is_fine("", "hover_share = \"60 %\"\nclimb_share = \"40 %\"");
    is_told(
        "",
        "start_charge = \"30 %\"\nland_charge = \"30 %\"",
        "charge at landing 30 % is not below the charge at take-off, 30 %",
    );
    is_fine("", "start_charge = \"31 %\"\nland_charge = \"30 %\"");
}

#[test]
fn nought_and_less_are_refused_with_their_limits() {
    let none = [
        ("pack", "charge = \"0 mAh\"", "charge"),
        ("pack", "cells = 0", "cells in series"),
        ("pack", "cell_resistance = \"0 mΩ\"", "resistance of a cell"),
        ("pack", "connector_resistance = \"0 mΩ\"", "connector resistance"),
        ("capacitor", "capacitance = \"0 µF\"", "capacitance"),
        ("video_transmitter", "limit_temperature = \"0 °C\"", "limit temperature"),
        ("flight_controller", "[[part.it.rail]]\nname = \"5 V\"\nout = \"0 V\"", "output"),
        ("flight_controller", "[[part.it.rail]]\nname = \"5 V\"\ncurrent = \"0 A\"", "rated current"),
    ];
    for (kind, line, label) in none {
        is_told(kind, line, label);
    }
}
