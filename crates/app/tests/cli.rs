//! The commands, end to end, as a person calls them.

use assert_cmd::Command;
use std::fs;
use std::path::PathBuf;

fn tidewright() -> Command {
    let mut c = Command::cargo_bin("tidewright").expect("built");
    c.env("NO_COLOR", "1");
    c
}

fn folder(name: &str) -> PathBuf {
    let dir = std::env::temp_dir().join(format!("tidewright-cli-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&dir);
    fs::create_dir_all(&dir).expect("temporary folder");
    dir
}

fn out(c: &mut Command) -> (i32, String, String) {
    let o = c.output().expect("ran");
    let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
    (o.status.code().unwrap_or(-1), text(&o.stdout), text(&o.stderr))
}

fn examples() -> Vec<PathBuf> {
    let dir = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
    let mut all: Vec<PathBuf> = fs::read_dir(dir).expect("examples").flatten().map(|e| e.path()).collect();
    all.retain(|p| p.extension().is_some_and(|e| e == "toml"));
    all.sort();
    all
}

/// The gate: a bench that has run for two years shows no `stop` and at most two `care`.
#[test]
fn trade_every_example_passes_the_gate() {
    let all = examples();
    assert!(all.len() >= 8, "{all:?}");
    for path in all {
        let (code, json, err) = out(tidewright().args(["check", "--json"]).arg(&path));
        assert_eq!(code, 0, "{}: {err}", path.display());
        let v: serde_json::Value = serde_json::from_str(&json).expect("JSON");
        let of = |s: &str| -> Vec<&str> {
            let all = v["findings"].as_array().expect("findings").iter();
            all.filter(|f| f["severity"] == s).filter_map(|f| f["sentence"].as_str()).collect()
        };
        assert!(of("stop").is_empty(), "{}: {:?}", path.display(), of("stop"));
        assert!(of("care").len() <= 2, "{}: {:?}", path.display(), of("care"));
        assert!(v["ledger"]["error"].as_f64().expect("error") < 1e-9);
    }
}

#[test]
fn check_speaks_and_shows_what_to_do() {
    let (code, text, _) = out(tidewright().arg("check"));
    assert_eq!(code, 0);
    for word in ["Quayside kitchen", "riser", "below the rim", "Note", "→"] {
        assert!(text.contains(word), "{word} is missing in\n{text}");
    }
    assert!(!text.contains('\u{1b}'), "no colour where it is not wanted");
}

#[test]
fn all_faults_of_a_file_come_at_once_with_their_lines() {
    let dir = folder("faults");
    let path = dir.join("bad.toml");
    fs::write(
        &path,
        "[tray]\nlength = 800\nwidht = \"40 cm\"\nwidth = \"40 L\"\ndepth = \"20 cmm\"\n[pump]\nmax_head = \"NaN m\"\n",
    )
    .expect("written");
    let (code, stdout, err) = out(tidewright().arg("check").arg(&path));
    assert_eq!(code, 2);
    assert!(stdout.is_empty());
    for word in
        ["missing-unit", "unknown-key", "wrong-unit", "out-of-range", "Did you mean \"width\"", "bad.toml:2", "800 mm"]
    {
        assert!(err.contains(word), "{word} is missing in\n{err}");
    }
}

#[test]
fn hostile_files_are_told_and_nothing_panics() {
    let dir = folder("hostile");
    let file = |name: &str, bytes: &[u8]| {
        let p = dir.join(name);
        fs::write(&p, bytes).expect("written");
        p
    };
    let huge = "x".repeat(2 << 20);
    let deep = format!("a = {}{}", "[".repeat(5000), "]".repeat(5000));
    let cases = [
        (file("empty.toml", b""), "depth"),
        (file("latin1.toml", b"name = \"K\xfcche\"\n"), "UTF-8"),
        (file("cut.toml", b"[tray]\nlength = \"80"), "toml-syntax"),
        (file("huge.toml", huge.as_bytes()), "bytes"),
        (file("deep.toml", deep.as_bytes()), "toml-syntax"),
        (file("twice.toml", b"name = \"a\"\nname = \"b\"\n"), "toml-syntax"),
        (dir.clone(), "folder"),
        (dir.join("none.toml"), "no file"),
    ];
    for command in ["check", "flood", "bench", "spills", "working", "draw"] {
        for (path, word) in &cases {
            let (code, _, err) = out(tidewright().arg(command).arg(path));
            assert_eq!(code, 2, "{command} {}: {err}", path.display());
            assert!(err.contains(word), "{command} {}: {word} is missing in\n{err}", path.display());
            assert!(!err.contains("panicked"), "{err}");
        }
    }
}

#[test]
fn five_numbers_write_a_bench_that_checks() {
    let dir = folder("new");
    let path = dir.join("mine.toml");
    let sizes = [
        "--tray-length",
        "34 in",
        "--tray-width",
        "22 in",
        "--tray-depth",
        "8 in",
        "--tray-height",
        "30 in",
        "--reservoir",
        "28 US gal",
    ];
    let (code, _, err) = out(tidewright().arg("new").arg(&path).args(["--name", "Mine"]).args(sizes));
    assert_eq!(code, 0, "{err}");
    let (code, text, err) = out(tidewright().arg("check").arg(&path));
    assert_eq!(code, 0, "{text}{err}");
    assert!(text.contains("in below the rim") && text.contains("riser"), "{text}");
    // A second time it would overwrite.
    let (code, _, err) = out(tidewright().arg("new").arg(&path).args(["--name", "Mine"]).args(sizes));
    assert!(code == 2 && err.contains("already"), "{err}");
    // Asked at the prompt, nonsense is asked again.
    let asked = dir.join("asked.toml");
    let answers = "lots\n86 cm\n55 cm\n0 cm\n20 cm\n75 cm\n100 L\n";
    let (code, text, err) = out(tidewright().arg("new").arg(&asked).write_stdin(answers));
    assert_eq!(code, 0, "{err}");
    assert_eq!(text.matches("and its unit, please").count(), 2, "{text}");
    // Answers that end too early are told, and no file is left.
    let short = dir.join("short.toml");
    let (code, _, err) = out(tidewright().arg("new").arg(&short).write_stdin("86 cm\n"));
    assert!(code == 2 && err.contains("no answer") && !short.exists(), "{err}");
}

#[test]
fn flood_prints_table_csv_and_json() {
    let (code, text, _) = out(tidewright().arg("flood"));
    assert!(code == 0 && text.contains("crest wet") && text.contains("pump off"), "{text}");
    let (_, csv, _) = out(tidewright().args(["flood", "--csv"]));
    let rows: Vec<&str> = csv.lines().collect();
    assert!(rows.len() > 50 && rows[0].starts_with("t_s,"), "{}", rows[0]);
    let columns = rows[0].split(',').count();
    assert!(rows.iter().all(|r| r.split(',').count() == columns));
    let (_, json, _) = out(tidewright().args(["flood", "--day", "--json"]));
    let v: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert!(v["periodic"].as_bool().expect("periodic") && v["floods"].as_array().expect("floods").len() == 3);
    let (code, _, err) = out(tidewright().args(["flood", "--tray", "none"]));
    assert!(code == 2 && err.contains("there are: tray"), "{err}");
}

#[test]
fn numbers_findings_parts_and_evidence_explain_themselves() {
    let (code, text, _) = out(tidewright().args(["working", "--of", "operating-flow"]));
    assert!(code == 0 && text.contains("Darcy") && text.contains("Churchill") && text.contains("assumed"), "{text}");
    let (code, _, err) = out(tidewright().args(["working", "--of", "nothing"]));
    assert!(code == 2 && err.contains("crest-wet"), "{err}");
    let (code, text, _) = out(tidewright().args(["explain", "gulping"]));
    assert!(code == 0 && text.contains("Hills"), "{text}");
    assert_eq!(out(tidewright().args(["explain", "nothing"])).0, 2);
    assert!(out(tidewright().arg("explain")).1.lines().count() > 40);
    assert!(out(tidewright().args(["parts", "medium"])).1.contains("stone-wool"));
    let (code, text, _) = out(tidewright().arg("evidence"));
    assert!(code == 0 && text.contains("values hold"), "{text}");
    assert!(out(tidewright().args(["completions", "bash"])).1.contains("complete"));
    assert!(out(tidewright().arg("man")).1.contains(".TH"));
}

#[test]
fn drawings_are_svg() {
    for what in ["section", "plan", "chart"] {
        let (code, svg, err) = out(tidewright().args(["draw", "--what", what]));
        assert!(code == 0 && svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>"), "{what}: {err}");
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
    }
}

#[test]
fn parts_of_ones_own_beside_the_bench() {
    let dir = folder("parts");
    let path = dir.join("bench.toml");
    fs::write(&path, "[tray]\npart = \"my-tub\"\n[blocks]\ncount = 4\n").expect("written");
    assert_eq!(out(tidewright().arg("check").arg(&path)).0, 2);
    let row = "[[part]]\nid = \"my-tub\"\nkind = \"tray\"\nname = \"my tub\"\nsource = \"measured\"\nlength = \"80 cm\"\nwidth = \"50 cm\"\ndepth = \"20 cm\"\n";
    fs::write(dir.join("parts.toml"), row).expect("written");
    let (code, _, err) = out(tidewright().arg("check").arg(&path));
    assert_eq!(code, 0, "{err}");
    fs::write(dir.join("parts.toml"), "[[part]]\nid = 3\n").expect("written");
    let (code, _, err) = out(tidewright().arg("check").arg(&path));
    assert!(code == 2 && err.contains("parts.toml"), "{err}");
}

#[test]
fn roots_follow_the_blocks_of_every_example() {
    for path in examples() {
        let (code, json, err) = out(tidewright().args(["roots", "--json"]).arg(&path));
        assert_eq!(code, 0, "{}: {err}", path.display());
        let days: serde_json::Value = serde_json::from_str(&json).expect("JSON");
        for d in days.as_array().expect("a list") {
            assert!(d["ledger_error"].as_f64().expect("error") < 1e-9, "{}: {}", path.display(), d["ledger_error"]);
            let (drunk, asked) = (d["drunk_m3"].as_f64().expect("drunk"), d["demand_m3"].as_f64().expect("demand"));
            assert!(drunk > 0.0 && drunk <= asked * (1.0 + 1e-6), "{}: {drunk} of {asked}", path.display());
        }
    }
    let (code, text, _) = out(tidewright().arg("roots"));
    assert_eq!(code, 0);
    for word in ["A plant asks for", "One flood lasts", "How sure", "water account closes"] {
        assert!(text.contains(word), "{word} is missing in\n{text}");
    }
    let (_, csv, _) = out(tidewright().args(["roots", "--csv"]));
    assert!(csv.starts_with("tray,t_s,") && csv.lines().count() > 90);
}

#[test]
fn solutions_are_mixed_dosed_and_followed() {
    let dir = folder("solution");
    let bench = dir.join("b.toml");
    let base = fs::read_to_string(&examples()[5]).expect("an example");
    let head = base.split("[solution]").next().unwrap_or_default().to_owned();
    let write = |more: &str| fs::write(&bench, format!("{head}\n[solution]\n{more}\n")).expect("written");
    write("water = \"hard-tap\"\nacid = \"nitric-acid\"");
    for (command, word) in
        [("mix", "nitric acid"), ("acid", "to stay"), ("drift", "Change it by day"), ("salt", "surface")]
    {
        let (code, text, err) = out(tidewright().arg(command).arg(&bench));
        assert!(code == 0 && text.contains(word), "{command}: {code} {text} {err}");
        assert!(text.lines().all(|l| l.chars().count() <= 100), "{command}: {text}");
        let (code, json, _) = out(tidewright().args([command, "--json"]).arg(&bench));
        assert!(code == 0 && serde_json::from_str::<serde_json::Value>(&json).is_ok(), "{command}: {json}");
    }
    // A concentrate that clogs is a stop, said before the sheet.
    write("concentrate = 100\ntank_a = [\"calcium-nitrate\", \"calcium-ammonium-nitrate\", \"magnesium-sulphate\"]");
    let (code, text, _) = out(tidewright().arg("mix").arg(&bench));
    assert!(code == 1 && text.starts_with("■ Stop"), "{code} {text}");
    for bad in [
        vec!["mix", "--litres", "NaN"],
        vec!["mix", "--litres", "-3"],
        vec!["acid", "--ph", "99"],
        vec!["drift", "--days", "0"],
        vec!["drift", "--litres-a-day", "-1"],
        vec!["salt", "--weeks", "0"],
        vec!["salt", "--leach", "nan"],
    ] {
        let (code, _, err) = out(tidewright().args(&bad).arg(&bench));
        assert!(code == 2 && !err.is_empty() && !err.contains("panicked"), "{bad:?}: {code} {err}");
    }
    let (code, _, err) = out(tidewright().args(["water", "no-such"]));
    assert!(code == 2 && err.contains("hard-tap"), "{err}");
    // A report of one's own, as printed, found beside the bench; its faults all at once.
    fs::write(
        dir.join("parts.toml"),
        "[[water]]\nid = \"ours\"\nname = \"ours\"\nions = { hardness = \"16.8 degdH\", HCO3 = \"275 mg/L\", Na = \"23 mg/L\" }\nph = 7.4\nsource = \"waterworks\"\n",
    )
    .expect("written");
    write("water = \"ours\"");
    let (code, text, err) = out(tidewright().arg("mix").arg(&bench));
    assert!(code == 0 && text.contains("ours"), "{text} {err}");
    fs::write(
        dir.join("parts.toml"),
        "[[water]]\nid = \"ours\"\nname = \"ours\"\nions = { Ca = \"x\", Qq = \"1 mg/L\" }\nsource = \"s\"\n",
    )
    .expect("written");
    let (code, _, err) = out(tidewright().arg("mix").arg(&bench));
    assert!(code == 2 && err.contains("Qq") && err.contains("no number"), "{err}");
}

#[test]
fn air_light_stand_and_money_speak_and_give_json() {
    for command in ["air", "light", "space", "stand", "power", "fit", "buy"] {
        for path in examples() {
            let (code, text, err) = out(tidewright().arg(command).arg(&path));
            assert_eq!(code, 0, "{command} {}: {err}", path.display());
            assert!(text.len() > 60 && !text.contains("NaN") && !text.contains("inf "), "{command}: {text}");
            let (code, json, _) = out(tidewright().args([command, "--json"]).arg(&path));
            assert_eq!(code, 0, "{command}");
            serde_json::from_str::<serde_json::Value>(&json).expect("JSON");
        }
    }
    let (code, text, _) = out(tidewright().args(["air", "--compare"]));
    assert!(code == 0 && text.contains("stone-fine"));
    let (code, text, _) = out(tidewright().args(["air", "--csv"]));
    assert!(code == 0 && text.starts_with("time_s,reservoir_degc") && text.lines().count() > 100);
    let (code, text, _) = out(tidewright().args(["space", "--spacing", "150 mm"]));
    assert!(code == 0 && text.contains("150 mm from middle to middle"));
    let (code, _, err) = out(tidewright().args(["space", "--spacing", "150"]));
    assert!(code == 2 && err.contains("with its unit"));
}

#[test]
fn prices_go_out_and_come_back_as_csv() {
    let dir = folder("prices");
    let list = dir.join("list.csv");
    let (code, csv, _) = out(tidewright().args(["buy", "--csv"]));
    assert_eq!(code, 0);
    assert!(csv.starts_with("item,name,size,quantity,unit,price_each,currency,date,owned\n"));
    let dear = csv.replace("tub-86x55,tray,", "tub-86x55,\"tray, big\",").replace(",18,EUR,", ",1000,EUR,");
    fs::write(&list, dear).expect("written");
    let total = |args: &[&str]| -> f64 {
        let (code, json, err) = out(tidewright().args(["buy", "--json"]).args(args));
        assert_eq!(code, 0, "{err}");
        let v: serde_json::Value = serde_json::from_str(&json).expect("JSON");
        v["running"]["bench"][0].as_f64().expect("a sum")
    };
    let file = list.to_string_lossy().into_owned();
    assert!(total(&["--prices", &file]) > total(&[]) + 900.0);
    for (text, word) in [
        ("item,price_each\ntray,cheap\n", "no price"),
        ("item,price_each\ntray,-3\n", "no price"),
        ("item,price_each\ntray,NaN\n", "no price"),
        ("", "item and price_each"),
        ("item,price_each,owned\ntray,3,perhaps\n", "yes or no"),
        ("item,price_each,date\ntray,3,20.11.2026\n", "no day"),
        ("item,price_each,date\ntray,3,2026-13-45\n", "no day"),
        ("item,price_each,date\ntray,3,2026-+1-05\n", "no day"),
        ("item,price_each,currency\ntray,3,money\n", "no currency"),
        ("item,price_each,currency\ntray,3\n", "2 columns"),
        ("item,price_each\ntray,3\ntray,4\n", "another price"),
    ] {
        fs::write(&list, text).expect("written");
        let (code, _, err) = out(tidewright().args(["buy", "--prices"]).arg(&list));
        assert!(code == 2 && err.contains(word), "{text:?}: {err}");
    }
    fs::write(&list, [0xff, 0xfe, 0x00]).expect("written");
    let (code, _, err) = out(tidewright().args(["buy", "--prices"]).arg(&list));
    assert!(code == 2 && err.contains("not UTF-8 text"), "{err}");
    let (code, _, err) = out(tidewright().args(["buy", "--prices"]).arg(&dir));
    assert!(code == 2 && err.contains("folder"), "{err}");
}

#[test]
fn the_book_is_written_and_a_lamp_s_file_is_read() {
    let dir = folder("book");
    let book = dir.join("book.html");
    for path in examples() {
        let (code, _, err) = out(tidewright().arg("book").arg(&path).arg("--out").arg(&book));
        assert_eq!(code, 0, "{err}");
        let html = fs::read_to_string(&book).expect("a book");
        assert!(
            html.contains("Order of work") && html.contains("size: A4") && !html.contains("NaN"),
            "{}",
            path.display()
        );
    }
    let (code, html, _) = out(tidewright().args(["book", "--paper", "letter"]));
    assert!(code == 0 && html.contains("size: letter"));
    let (code, json, _) = out(tidewright().args(["book", "--json"]));
    assert!(code == 0 && json.contains("\"crest_wet_s\""));
    let (code, _, err) = out(tidewright().arg("book").arg("--out").arg(&dir));
    assert!(code == 2 && !err.is_empty());
    // A photometric file beside the bench.
    let bench = dir.join("bench.toml");
    let demo =
        fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/quayside-kitchen.toml")).expect("demo");
    fs::write(&bench, demo.replace("part = \"lamp-100\"", "power = \"100 W\"\nfile = \"lamp.ies\"")).expect("written");
    let (code, _, err) = out(tidewright().arg("light").arg(&bench));
    assert!(code == 2 && err.contains("lamp.ies"), "{err}");
    fs::write(dir.join("lamp.ies"), "TILT=NONE\n1 1 1 3 1 2 2 0 0 0 1 1 1 0 45 90 0 1 1 1").expect("written");
    let (code, _, err) = out(tidewright().arg("light").arg(&bench));
    assert!(code == 2 && err.contains("type C"), "{err}");
    fs::write(
        dir.join("lamp.ies"),
        "IESNA:LM-63-2002\r\nTILT=NONE\r\n1 1000 1 3 1 1 2 0.1 0.9 0\r\n1 1 100\r\n0 45 90\r\n0\r\n100 70 0\r\n",
    )
    .expect("written");
    let (code, text, err) = out(tidewright().arg("light").arg(&bench));
    assert!(code == 0 && text.contains("µmol"), "{err}");
}

/// New sections meet all that a hand can get wrong: a finding with its line, never a panic.
#[test]
fn new_sections_answer_hostile_values() {
    let dir = folder("hostile");
    let bench = dir.join("bench.toml");
    let demo =
        fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/windowsill-tub.toml")).expect("demo");
    for (text, word) in [
        ("[air]\nopen_flow = \"-4 L/min\"", "must lie"),
        ("[air]\nopen_flow = \"0 L/min\"", "must lie"),
        ("[air]\nopen_flow = 4", "bare number"),
        ("[air]\nopen_flow = \"NaN L/min\"", "finite"),
        ("[air]\nopen_flow = \"4 kg\"", "kg measures"),
        ("[air]\nopen_flw = \"4 L/min\"", "open_flow"),
        ("[air]\ncurve = [[\"1 L/min\", \"1 kPa\"]]", "two points"),
        ("[air]\ncurve = \"steep\"", "list"),
        ("[air]\nclean_water_test = [[\"0 min\", \"8 mg/L\"], [\"5 min\", \"8 mg/L\"]]", "do not show"),
        ("[air]\nstone = 3", "section"),
        ("[[lamp]]\npower = \"1e9 W\"", "must lie"),
        ("[[lamp]]\ntray = \"elsewhere\"", "no tray"),
        ("[[lamp]]\nfile = 3", "text"),
        ("[stand]\n[stand.rail]\nmaterial = \"glass\"", "none of"),
        ("[stand]\nrail_at = \"here\"", "list"),
        ("[stand]\nrails = 0", "from 2"),
        ("[power]\nvoltage = \"400 V\"", "must lie"),
        ("[power]\nresidual_current = \"yes\"", "true or false"),
        ("[money]\ncurrency = \"euro\"", "ISO 4217"),
        ("[money]\ndate = \"soon\"", "no day"),
        ("[money]\nelectricity = -1", "a number"),
        ("[heat]\nhold = \"90 degC\"", "must lie"),
    ] {
        fs::write(&bench, format!("{demo}\n{text}\n")).expect("written");
        let (code, _, err) = out(tidewright().arg("check").arg(&bench));
        assert!(code == 2 && err.contains(word) && !err.contains("panicked"), "{text:?}: {err}");
    }
}
