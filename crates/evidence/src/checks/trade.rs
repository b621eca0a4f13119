//! What builders and growers know, against the program, the blocks and the findings: bands, never proof.

use super::Results;
use super::flood::bench::example;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::quantity::mm;
use tidewright_plan::survey::Survey;
use tidewright_plan::{count, judge, program};
use tidewright_rig::Severity;
use tidewright_rig::parts::Library;
use tidewright_rig::value::{Birth, Value};
use tidewright_sim::stack::{Manner, Stack};

pub(crate) const CHECKS: Checks = &[("floods-a-day", floods), ("drained-top", top), ("ordinary-gate", gate)];

/// Fewest floods a day that a full crop in blocks of a medium wants on the demo bench, within what growers give.
fn floods(given: &Given<'_>) -> Results {
    let mut rig = example("quayside-kitchen")?;
    let name = given.text("medium")?;
    let medium = Library::shipped().medium(name).cloned().ok_or_else(|| format!("no medium is called `{name}`"))?;
    let own = |v: f64| Value::new(mm(v), Birth::Derived { from: "a row of evidence".into() });
    if let Some(blocks) = &mut rig.trays[0].blocks {
        blocks.medium = medium;
        (blocks.length, blocks.width) = (own(given.number("width_mm")?), own(given.number("width_mm")?));
    }
    let all = program::programs(&rig, 0, &|_| {}).ok_or("the blocks cannot be followed")?;
    let full = all.iter().find(|p| p.stage.word() == "full").ok_or("there is no full stage")?;
    let fewest = full.offer.as_ref().ok_or("no program keeps it wet")?.starts.len() as f64;
    let within = fewest >= given.number("from")? && fewest <= given.number("to")?;
    Ok(vec![("floods_within", f64::from(u8::from(within)))])
}

/// Pores of a block's top that water fills at rest on a drained floor, below or above a share.
fn top(given: &Given<'_>) -> Results {
    let mut rig = example("quayside-kitchen")?;
    let name = given.text("medium")?;
    let medium = Library::shipped().medium(name).cloned().ok_or_else(|| format!("no medium is called `{name}`"))?;
    if let Some(blocks) = &mut rig.trays[0].blocks {
        blocks.medium = medium;
    }
    let height = rig.trays[0].blocks.as_ref().map_or(0.0, |b| b.total_height().value);
    let share = Stack::of(&rig, 0, Manner::STILL).ok_or("there are no blocks")?.lifts_to(height - 0.002);
    let within = share >= given.number("from")? && share <= given.number("to")?;
    Ok(vec![("share_within", f64::from(u8::from(within)))])
}

/// Findings on a bench that has run for two years: no stop, two cares at most.
fn gate(given: &Given<'_>) -> Results {
    let rig = tidewright_plan::advice::settle_crests(&example(given.text("bench")?)?).0;
    let findings = judge(&Survey::with_crop(&rig, 64));
    let cares = count(&findings, Severity::Care);
    Ok(vec![("stops", count(&findings, Severity::Stop) as f64), ("cares_beyond_two", cares.saturating_sub(2) as f64)])
}
