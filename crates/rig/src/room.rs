//! A room's own air and light through the day, out of a logger's CSV.

use crate::bench::RoomStep;
use crate::finding::{Finding, Place, Severity};
use crate::read::clock;

const DAY_S: f64 = 86_400.0;
/// Readings are gathered into so many parts of the day.
const PARTS: usize = 96;
/// More faults than this in one file say nothing new.
const MOST_FAULTS: usize = 20;
/// Rows that are read: a year by the minute.
const MOST_ROWS: usize = 600_000;
const COLUMNS: [&str; 4] = ["time", "temperature_c", "humidity_percent", "photons_umol_m2_s"];

/// Reads a CSV of time, temperature, humidity and light: the mean day of all rows, in quarter hours. Every fault is told.
///
/// The header is `time,temperature_c,humidity_percent,photons_umol_m2_s`; time is "06:15" or a date and time as
/// "2026-03-01 06:15". Gaps are filled straight from the readings beside them.
pub fn read(file: &str, text: &str) -> (Vec<RoomStep>, Vec<Finding>) {
    let mut found = Vec::new();
    let mut fault = |line: u64, sentence: String| {
        if found.len() < MOST_FAULTS {
            let mut place = Place::key(file);
            place.line = line as usize;
            found.push(
                Finding::new(
                    Severity::Stop,
                    "room-file",
                    "The room's readings do not read",
                    format!("{file}, line {line}: {sentence}"),
                )
                .at(place)
                .mend(format!(
                    "The first line is {}; then a row for each reading, as in 06:15,23.5,61,180.",
                    COLUMNS.join(",")
                )),
            );
        }
    };
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .flexible(true)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let header: Vec<String> = reader.headers().map(|h| h.iter().map(str::to_owned).collect()).unwrap_or_default();
    let columns: Vec<Option<usize>> = COLUMNS.iter().map(|c| header.iter().position(|h| h == c)).collect();
    for (name, at) in COLUMNS.iter().zip(&columns) {
        if at.is_none() {
            fault(1, format!("there is no column \"{name}\"."));
        }
    }
    let [Some(time), Some(temperature), Some(humidity), Some(photons)] = columns[..] else {
        return (Vec::new(), found);
    };
    let mut sums = vec![([0.0; 3], 0.0); PARTS];
    for (i, row) in reader.records().enumerate().take(MOST_ROWS) {
        let row = match row {
            Ok(r) => r,
            Err(e) => {
                fault(i as u64 + 2, format!("{e}."));
                continue;
            }
        };
        let line = row.position().map_or(i as u64 + 2, csv::Position::line);
        let cell = |k: usize| row.get(k).unwrap_or("");
        let when = cell(time);
        let of_day = when.rsplit(['T', ' ']).next().unwrap_or("");
        let Some(t) = clock(of_day.trim_end_matches('Z').split('+').next().unwrap_or("")) else {
            fault(line, format!("\"{when}\" is no time of day."));
            continue;
        };
        let mut number = |k: usize, (least, most): (f64, f64), what: &str| match cell(k).parse::<f64>() {
            Ok(x) if x >= least && x <= most => Some(x),
            Ok(x) => {
                fault(line, format!("{x} is no {what} of a room ({least} to {most})."));
                None
            }
            Err(_) => {
                fault(line, format!("\"{}\" is no {what}: a number with a point.", cell(k)));
                None
            }
        };
        let all = (
            number(temperature, (-10.0, 60.0), "temperature"),
            number(humidity, (1.0, 100.0), "humidity"),
            number(photons, (0.0, 3000.0), "light"),
        );
        if let (Some(c), Some(h), Some(p)) = all {
            let (sum, n) = &mut sums[((t / DAY_S * PARTS as f64) as usize).min(PARTS - 1)];
            for (s, x) in sum.iter_mut().zip([c, h, p]) {
                *s += x;
            }
            *n += 1.0;
        }
    }
    let filled: Vec<usize> = (0..PARTS).filter(|k| sums[*k].1 > 0.0).collect();
    if filled.is_empty() {
        fault(1, "there is no reading in it.".into());
        return (Vec::new(), found);
    }
    if !found.is_empty() {
        return (Vec::new(), found);
    }
    let mean = |k: usize, j: usize| sums[k].0[j] / sums[k].1;
    let steps = (0..PARTS)
        .map(|k| {
            // The readings beside a gap, around midnight.
            let before = filled.iter().rev().find(|f| **f <= k).or(filled.last()).copied().unwrap_or(k);
            let after = filled.iter().find(|f| **f >= k).or(filled.first()).copied().unwrap_or(k);
            let (back, on) = ((k + PARTS - before) % PARTS, (after + PARTS - k) % PARTS);
            let share = if back + on == 0 { 0.0 } else { back as f64 / (back + on) as f64 };
            let at = |j: usize| mean(before, j) + share * (mean(after, j) - mean(before, j));
            RoomStep {
                from_s: DAY_S * k as f64 / PARTS as f64,
                air_k: at(0) + 273.15,
                humidity: at(1) / 100.0,
                photons_mol_m2_s: at(2) * 1e-6,
            }
        })
        .collect();
    (steps, found)
}

/// The name of the file of readings that a bench file asks for.
pub fn asked_for(bench: &str) -> Option<String> {
    let table: toml::Table = toml::from_str(bench.trim_start_matches('\u{feff}')).ok()?;
    Some(table.get("room")?.get("file")?.as_str()?.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_of_four_readings_is_filled_straight() {
        let text = "time,temperature_c,humidity_percent,photons_umol_m2_s\n00:00,20,60,0\n2026-03-01 06:00,22,60,200\n2026-03-02T12:00Z,24,50,200\n18:00,22,60,0\n";
        let (steps, found) = read("room.csv", text);
        assert!(found.is_empty(), "{found:?}");
        assert_eq!(steps.len(), 96);
        assert!((steps[12].air_k - 294.15).abs() < 1e-9 && (steps[36].humidity - 0.55).abs() < 1e-9);
        assert!((steps[84].air_k - 294.15).abs() < 1e-9, "midnight lies between the last reading and the first");
    }

    #[test]
    fn every_fault_is_told_and_nothing_panics() {
        for text in ["", "time", "time,temperature_c,humidity_percent,photons_umol_m2_s\n", "\u{0}\u{1}", "a,b\n1,2\n"]
        {
            assert!(!read("f", text).1.is_empty(), "{text:?}");
        }
        let text = "time,temperature_c,humidity_percent,photons_umol_m2_s\n25:00,20,60,0\n06:00,NaN,60,0\n06:00,20,,0\n06:00,20,600,-1\n06:00\n";
        let (steps, found) = read("f", text);
        assert!(steps.is_empty() && found.len() >= 5, "{found:?}");
    }
}
