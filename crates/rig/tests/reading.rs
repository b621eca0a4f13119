//! What the reader makes of files: values, births, and every fault at once.

use tidewright_physics::hydraulics::pump::Curve;
use tidewright_rig::parts::Library;
use tidewright_rig::{Birth, Reading, Rig, Severity, read, read_bytes};

const TRAY: &str = "[tray]\nlength = \"0.86 m\"\nwidth = \"0.55 m\"\ndepth = \"0.20 m\"\n";

fn reading(text: &str) -> Reading {
    read(text, &Library::shipped())
}

fn sound(text: &str) -> Rig {
    let r = reading(text);
    r.rig.unwrap_or_else(|| panic!("{:#?}", r.findings))
}

fn stops(text: &str) -> Vec<(&'static str, String)> {
    let r = reading(text);
    let stops = r.findings.iter().filter(|f| f.severity == Severity::Stop);
    stops.map(|f| (f.name, f.place.as_ref().map_or_else(String::new, |p| format!("{}:{}", p.path, p.line)))).collect()
}

#[test]
fn every_value_says_where_it_came_from() {
    let rig = sound("[tray]\npart = \"tub-86x55\"\ndepth = \"190 mm\"\n[pump]\nas_sold = \"80 %\"\n");
    assert_eq!(rig.trays[0].elevation.birth.word(), "assumed");
    assert!(matches!(rig.pumps[0].as_sold.birth, Birth::Given { line: 5 }));
    let of =
        |path: &str| rig.sheet.iter().find(|l| l.path == path).unwrap_or_else(|| panic!("{path} is not on the sheet"));
    assert!(matches!(&of("tray.depth").birth, Birth::Given { line: 3 }));
    assert!(matches!(&of("tray.length").birth, Birth::Part { part, .. } if part == "tub-86x55"));
    assert_eq!(of("tray.length").text, "860 mm");
    let no_reason = rig.sheet.iter().find(|l| matches!(&l.birth, Birth::Assumed { why } if why.is_empty()));
    assert!(no_reason.is_none(), "{no_reason:?}");
}

#[test]
fn all_faults_come_at_once_each_at_its_line() {
    let found = stops(
        "[reservoir]\nfill = 70\nfilll = \"3\"\n[pump]\nmax_head = \"1.8 L\"\n[tray]\nlength = \"0,86 m\"\nwidth = true\ndepth = \"9 m\"\n[timer]\nkind = \"pinz\"\n",
    );
    let want = [
        ("missing-unit", "reservoir.fill:2"),
        ("unknown-key", "reservoir.filll:3"),
        ("wrong-unit", "pump.max_head:5"),
        ("wrong-type", "tray.length:7"),
        ("wrong-type", "tray.width:8"),
        ("out-of-range", "tray.depth:9"),
        ("unknown-choice", "timer.kind:11"),
    ];
    for (name, place) in want {
        assert!(found.iter().any(|f| f.0 == name && f.1 == place), "{name} at {place} is missing in {found:#?}");
    }
    assert_eq!(found.len(), want.len(), "{found:#?}");
}

#[test]
fn a_bare_number_is_answered_with_its_likely_unit() {
    let r = reading("[tray]\nlength = 860\nwidth = 0.55\ndepth = \"200 mm\"\n");
    let offers: Vec<String> = r
        .findings
        .iter()
        .filter_map(|f| f.mend.as_ref()?.change.as_ref())
        .map(|c| format!("{} = {}", c.path, c.value))
        .collect();
    assert_eq!(offers, ["tray.length = \"860 mm\"", "tray.width = \"0.55 m\""]);
}

#[test]
fn sections_of_another_kind_are_faults_and_not_lost() {
    for text in
        ["tray = 3\n", "[tray]\ndrain = \"x\"\n", "tray = [1, 2]\n", "pump = \"big\"\n", "[tray]\nblocks = [[1]]\n"]
    {
        assert!(stops(text).iter().any(|s| s.0 == "wrong-type"), "{text}: {:?}", stops(text));
    }
}

#[test]
fn values_that_contradict_each_other_are_told() {
    let has = |text: &str, name: &str| assert!(stops(text).iter().any(|s| s.0 == name), "{text}: {:?}", stops(text));
    has(&format!("[reservoir]\nfill = \"50 L\"\nfill_depth = \"20 cm\"\n{TRAY}"), "conflicting-values");
    has(&format!("[reservoir]\npart = \"tote-8l\"\nfill = \"80 L\"\n{TRAY}"), "out-of-range");
    has(&format!("{TRAY}[drain]\ncrest = \"25 cm\"\n"), "out-of-range");
    has(&format!("{TRAY}[timer]\nfloods = [\"07:00\", \"07:00\"]\n"), "conflicting-values");
    has(
        "[[tray]]\nname = \"a\"\npart = \"tub-86x55\"\ndrains_into = \"b\"\n[[tray]]\nname = \"b\"\npart = \"tub-86x55\"\ndrains_into = \"a\"\n",
        "conflicting-values",
    );
    has("[[pump]]\nname = \"p\"\n[[pump]]\nname = \"p\"\n[tray]\npart = \"tub-86x55\"\n", "conflicting-values");
}

/// Least squares through exact points gives the curve that made them.
#[test]
fn exact_bucket_tests_give_back_their_parabola() {
    // H = 1.8 − 1.8 (Q/833)² in L/h: the flow at 0.45 m is 833 √0.75, at 1.35 m it is 833/2.
    let at = |share: f64| format!("{:.6} s", 10.0 / (833.0 * share) * 3600.0);
    let tests = format!(
        "bucket_tests = [[\"10 L\", \"{}\", \"0.45 m\"], [\"10 L\", \"{}\", \"1.35 m\"]]\n",
        at(0.75f64.sqrt()),
        at(0.5)
    );
    for head in ["", "max_head = \"1.8 m\"\n"] {
        let rig = sound(&format!("{TRAY}[pump]\n{head}{tests}"));
        let Curve::Power { max_head, open_flow, .. } = rig.pumps[0].curve.borrowed() else {
            panic!("a parabola is due")
        };
        assert!(
            (max_head.value - 1.8).abs() < 1e-6 && (open_flow.value * 3.6e6 - 833.0).abs() < 1e-3,
            "{max_head:?} {open_flow:?}"
        );
        assert_eq!(rig.pumps[0].curve.birth.word(), "measured");
    }
}

#[test]
fn a_riser_as_bought_has_its_crest_from_seat_tube_and_insertion() {
    let rig = sound(&format!("{TRAY}[drain]\ntube = \"90 mm\"\nseat = \"8 mm\"\ninsertion = \"15 mm\"\n"));
    assert!((rig.trays[0].crest().expect("a riser").value - 0.083).abs() < 1e-12);
}

#[test]
fn customary_units_are_spoken_back() {
    let rig = sound(
        "[reservoir]\ncapacity = \"28 US gal\"\n[tray]\nlength = \"34 in\"\nwidth = \"22 in\"\ndepth = \"8 in\"\n",
    );
    assert_eq!(rig.system, tidewright_rig::units::System::UsCustomary);
    assert!((rig.reservoir.shape.full().value - 28.0 * 3.785_411_784e-3).abs() < 1e-6);
}

#[test]
fn hostile_bytes_are_answered() {
    for bytes in [&b"\xff\xfe"[..], b"", b"\0\0\0", b"[[[[", b"a = \"\\u0000\"", "name = \"🌱\"".as_bytes()] {
        let r = read_bytes(bytes, &Library::shipped());
        assert!(r.rig.is_none() && !r.findings.is_empty());
    }
    let r = read_bytes(b"\xef\xbb\xbf[tray]\npart = \"tub-86x55\"\n", &Library::shipped());
    assert!(r.rig.is_some(), "a byte-order mark is no fault: {:?}", r.findings);
}

#[test]
fn crop_room_and_light_are_read_and_their_faults_told() {
    let rig = sound(&format!(
        "{TRAY}[crop]\nstage = \"young\"\ndrinks = \"60 mL/day\"\n[light]\nphotons = \"150 umol/m2/s\"\non = \"22:00\"\nhours = \"12 h\"\n"
    ));
    let g = &rig.growing;
    assert!((g.drinks.as_ref().unwrap().get().value * 86_400.0 - 60e-6).abs() < 1e-15);
    assert!((g.photons.get().value - 150e-6).abs() < 1e-15 && g.leaf_area.get() == 0.5);
    // A night crop: lit from ten to ten.
    assert!(g.is_lit(23.0 * 3600.0) && g.is_lit(5.0 * 3600.0) && !g.is_lit(12.0 * 3600.0));
    for (section, name) in [
        ("[crop]\nstage = \"ripe\"\n", "unknown-choice"),
        ("[crop]\ndrinks = \"0 mL/day\"\n", "out-of-range"),
        ("[crop]\ndrinks = 60\n", "missing-unit"),
        ("[crop]\nleaf_area = \"nan\"\n", "out-of-range"),
        ("[light]\non = 6\n", "wrong-type"),
        ("[light]\non = \"25:00\"\n", "wrong-type"),
        ("[light]\nphotons = \"1e9 umol/m2/s\"\n", "out-of-range"),
        ("[light]\nphotons = \"200 mm\"\n", "wrong-unit"),
        ("[room]\nday = \"-40 degC\"\n", "out-of-range"),
        ("[room]\nhumidity_day = \"160 %\"\n", "out-of-range"),
        ("[room]\ndya = \"20 degC\"\n", "unknown-key"),
        ("room = 3\n", "wrong-type"),
    ] {
        let text = if section.starts_with('[') { format!("{TRAY}{section}") } else { format!("{section}{TRAY}") };
        let found = stops(&text);
        let any = reading(&text).findings.iter().any(|f| f.name == name);
        assert!(any, "{section}: {name} is not among {found:?}");
    }
}

#[test]
fn only_what_the_water_feels_makes_another_day() {
    let demo = include_str!("../../../examples/quayside-kitchen.toml");
    let of = |path: &str, value: &str| {
        let text = tidewright_rig::edit::set(demo, path, value).expect(path);
        read(&text, &Library::shipped()).rig.expect(path)
    };
    // A new key would move the lines of what stands below it, and with them birthplaces.
    let own = read(demo, &Library::shipped()).rig.expect("the demo");
    for (path, value) in [("air.check_valve", "false"), ("power.outlet_height", "\"1.1 m\""), ("name", "\"other\"")] {
        assert!(own.runs_as(&of(path, value)), "{path}");
    }
    for (path, value) in [
        ("reservoir.fill", "\"60 L\""),
        ("drain.crest", "\"70 mm\""),
        ("room.night", "\"18 degC\""),
        ("pump.power", "\"9 W\""),
    ] {
        assert!(!own.runs_as(&of(path, value)), "{path}");
    }
}
