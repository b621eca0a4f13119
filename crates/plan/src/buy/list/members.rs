//! The stand's members: what is cut, from which lengths.

use super::super::stock::{Cut, Packed, pack};
use super::Draft;
use crate::stand::leg_length_m;
use tidewright_rig::Rig;
use tidewright_rig::bench::Member;

/// Pieces of the stand by member, and how they lie on stock lengths.
pub fn stand_cuts(rig: &Rig) -> Vec<(String, String, Packed)> {
    let Some(s) = &rig.stand else { return Vec::new() };
    let trays = rig.trays.len() as f64;
    let piece = |what: &str, length: f64, n: f64| -> Vec<Cut> {
        (0..n as usize).map(|_| Cut { what: what.to_owned(), length_m: length }).collect()
    };
    let mut groups: Vec<(String, String, Vec<Cut>)> = Vec::new();
    let mut put = |m: &Member, cuts: Vec<Cut>| {
        let id = member_id(m);
        let found = groups.iter().position(|g| g.0 == id && g.1 == m.name);
        match found {
            Some(i) => groups[i].2.extend(cuts),
            None => groups.push((id, m.name.clone(), cuts)),
        }
    };
    put(&s.rail, piece("rail", s.rail_length.get().value, s.rails.get() * trays));
    // Trays at several heights stand on legs of their own lengths.
    let mut legs: Vec<Cut> = rig.trays.iter().flat_map(|t| piece("leg", leg_length_m(s, t), s.legs.get())).collect();
    if s.legs.get() >= 4.0 {
        // Two cross pieces at each end join the legs in pairs: at the top and a hand above the floor.
        legs.extend(piece("cross piece", s.base.1.get().value, 4.0 * trays));
    }
    if s.braced.get() {
        // On two sides that stand square to each other.
        for t in &rig.trays {
            let (leg, base) = (leg_length_m(s, t), (s.base.0.get().value, s.base.1.get().value));
            legs.extend([base.0, base.1].into_iter().flat_map(|b| piece("diagonal", leg.hypot(b), 1.0)));
        }
    }
    put(&s.leg, legs);
    groups
        .into_iter()
        .map(|(id, name, cuts)| {
            let prices = &rig.costs.prices;
            let stock = prices
                .iter()
                .find(|p| p.id == id)
                .or_else(|| prices.iter().find(|p| p.id == material_of(&id)))
                .map_or(2.4, |p| if p.stock_m > 0.0 { p.stock_m } else { 2.4 });
            (id, name, pack(&cuts, stock))
        })
        .collect()
}

/// Name of a member in the price data: its material and its section, as in "timber-38x89".
fn member_id(m: &Member) -> String {
    let (a, b) = (1e3 * m.outer.0.value, 1e3 * m.outer.1.value);
    format!("{}-{:.0}x{:.0}", material_id(m), a.min(b), a.max(b))
}

/// Of any section.
fn material_of(member: &str) -> &str {
    member.rsplit_once('-').map_or(member, |x| x.0)
}

fn material_id(m: &Member) -> &'static str {
    match m.material.get() {
        tidewright_rig::bench::Material::Timber => "timber",
        tidewright_rig::bench::Material::Plastic => "plastic-pipe",
        tidewright_rig::bench::Material::Steel => "steel-tube",
    }
}

/// Members of the stand, and what holds them together.
pub(super) fn members(rig: &Rig, d: &mut Draft<'_>) {
    let cuts = stand_cuts(rig);
    if cuts.is_empty() {
        return;
    }
    for (id, name, packed) in cuts {
        let n = packed.lengths.len() as f64;
        let lengths = if n == 1.0 { "length" } else { "lengths" };
        let spec = format!("{n:.0} {lengths} of {}", rig.system.distance(packed.stock_m));
        let extra: f64 = packed.too_long.iter().map(|c| c.length_m).sum();
        d.add(&[&id, material_of(&id)], &name, spec, n * packed.stock_m + extra, "m");
    }
    d.add(
        &["screws"],
        "screws and brackets, galvanised outside the wet",
        String::new(),
        rig.trays.len() as f64,
        "piece",
    );
    if rig.stand.as_ref().is_some_and(|s| s.deck.get().value > 0.0) {
        let area: f64 = rig.trays.iter().map(|t| (t.floor().0 * t.floor().1).value).sum();
        d.add(&["board"], "board below the tray", String::new(), area, "m2");
    }
}
