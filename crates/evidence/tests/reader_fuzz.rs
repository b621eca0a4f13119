//! The reader never panics: random bytes, and examples and random benches with damage.

use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use std::path::Path;
use tidewright_evidence::random::bench_file;
use tidewright_rig::parts::Library;
use tidewright_rig::{Severity, read_bytes};

const WORDS: [&str; 24] = [
    "0",
    "-1",
    "1e308",
    "nan",
    "inf",
    "\"\"",
    "\"-5 mm\"",
    "\"1/0 in\"",
    "\"1e999 L\"",
    "true",
    "[]",
    "[[]]",
    "{}",
    "1979-05-27",
    "\"0 mm\"",
    "\"1 1/2 in\"",
    "\"９ mm\"",
    "99999999999999999999",
    "\"mm\"",
    "[1, \"a\", {}]",
    "'''x'''",
    "\"1,5 m\"",
    "0x10",
    "\"∞ m\"",
];

fn examples() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let entries = std::fs::read_dir(folder).expect("a folder");
    let paths = entries.map(|e| e.expect("an entry").path()).filter(|p| p.extension().is_some_and(|e| e == "toml"));
    paths.map(|p| std::fs::read_to_string(p).expect("a file")).collect()
}

/// One to six wounds: bytes flipped, cut, lines doubled, lost, swapped, values and keys exchanged.
fn damaged(text: &str, rng: &mut StdRng) -> Vec<u8> {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..rng.random_range(0..4) {
        let n = lines.len();
        if n < 2 {
            break;
        }
        let (i, j) = (rng.random_range(0..n), rng.random_range(0..n));
        match rng.random_range(0..6) {
            0 => lines.insert(i, lines[j].clone()),
            1 => {
                lines.remove(i);
            }
            2 => lines.swap(i, j),
            3 => {
                let value = WORDS[rng.random_range(0..WORDS.len())];
                if let Some((key, _)) = lines[i].clone().split_once('=') {
                    lines[i] = format!("{key}= {value}");
                }
            }
            4 => {
                let other = lines[j].split_once('=').map(|p| p.1.to_owned());
                if let (Some((key, _)), Some(value)) = (lines[i].clone().split_once('='), other) {
                    lines[i] = format!("{key}={value}");
                }
            }
            _ => {
                if let (Some((_, value)), Some((key, _))) = (lines[i].clone().split_once('='), lines[j].split_once('='))
                {
                    lines[i] = format!("{key}={value}");
                }
            }
        }
    }
    let mut bytes = lines.join("\n").into_bytes();
    for _ in 0..rng.random_range(0..3) {
        if bytes.is_empty() {
            break;
        }
        let i = rng.random_range(0..bytes.len());
        match rng.random_range(0..4) {
            0 => bytes[i] ^= 1 << rng.random_range(0..8),
            1 => bytes[i] = rng.random_range(32..127),
            2 => bytes.truncate(i),
            _ => bytes.insert(i, rng.random()),
        }
    }
    bytes
}

/// Reads, and checks what must always hold: a rig only where no finding is a `stop`.
fn reads(bytes: &[u8], library: &Library) {
    let reading = read_bytes(bytes, library);
    let stopped = reading.findings.iter().any(|f| f.severity == Severity::Stop);
    assert!(!(stopped && reading.rig.is_some()), "a rig beside a stop");
    assert!(stopped || reading.rig.is_some(), "neither a rig nor a reason");
}

fn on_every_core(count: u64, job: impl Fn(u64) + Sync) {
    let threads = std::thread::available_parallelism().map_or(2, usize::from) as u64;
    std::thread::scope(|s| {
        for first in 0..threads {
            let job = &job;
            s.spawn(move || (first..count).step_by(threads as usize).for_each(job));
        }
    });
}

#[test]
fn random_bytes_never_panic() {
    let library = Library::shipped();
    on_every_core(20_000, |seed| {
        let mut rng = StdRng::seed_from_u64(seed);
        let length = rng.random_range(0..400);
        let ascii = seed % 2 == 0;
        let byte =
            |rng: &mut StdRng| if ascii { b"[]={}\",.#\n\t 0aemr_-'\\"[rng.random_range(0..21)] } else { rng.random() };
        let bytes: Vec<u8> = (0..length).map(|_| byte(&mut rng)).collect();
        reads(&bytes, &library);
    });
}

#[test]
fn damaged_benches_never_panic() {
    let (library, examples) = (Library::shipped(), examples());
    on_every_core(40_000, |seed| {
        let mut rng = StdRng::seed_from_u64(seed ^ 0x5eed);
        let text = if seed % 3 == 0 { examples[seed as usize % examples.len()].clone() } else { bench_file(seed / 7) };
        reads(&damaged(&text, &mut rng), &library);
    });
}
