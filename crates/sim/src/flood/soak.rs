//! What media take up while water stands around them, and give back when it has gone.

use tidewright_physics::numerics::pchip::Pchip;
use tidewright_physics::quantity::m;
use tidewright_rig::bench::{Blocks, LooseBed, Moisture};

/// First-order soak and release towards what the retention curve holds at this water level.
///
/// dW/dt = (W*(w) − W)/τ, W*(w) = A [w θs + (H−w) θ̄(H−w)], w the water level above the base.
/// θ̄ is the container capacity of the part that stands above the water (closed form over its
/// height). τ differs for taking and giving; a film around the sides lets water in at the base only
/// and triples it. Source of τ: common practice, no source.
#[derive(Clone, Debug)]
pub(crate) struct FirstOrder {
    base: f64,
    /// From this level on water can reach them: their base, or the lowest point of the floor above it.
    wet_from: f64,
    height: f64,
    envelope: f64,
    dry: f64,
    /// Level above the base \[m\] to water held \[m³\].
    target: Pchip,
    soak_s: f64,
    release_s: f64,
}

const LEVELS: usize = 16;
const WRAPPED_SLOWER: f64 = 3.0;
/// Below this depth over the base no water is taken, so that a film is not drunk up \[m\].
const FILM: f64 = 0.002;

impl FirstOrder {
    pub(crate) fn blocks(b: &Blocks, lowest: f64, factor: f64) -> Option<Self> {
        let height = b.total_height();
        let area = b.plan_area().value;
        let contents = b.medium.retention.flooded_contents(height, LEVELS);
        let points: Vec<(f64, f64)> = contents
            .iter()
            .enumerate()
            .map(|(i, c)| (height.value * i as f64 / LEVELS as f64, area * height.value * c))
            .collect();
        let slower = if b.wrapped.get() { WRAPPED_SLOWER } else { 1.0 };
        Some(Self {
            base: b.base.get().value,
            wet_from: b.base.get().value.max(lowest),
            height: height.value,
            envelope: area * height.value,
            dry: area * height.value * b.medium.dry_content,
            target: Pchip::new(&points)?,
            soak_s: b.medium.soak_s * factor * slower,
            release_s: b.medium.release_s * factor,
        })
    }

    /// Grains hold water inside; the space between them is free water and not counted here.
    pub(crate) fn bed(b: &LooseBed, floor_area: f64, lowest: f64, factor: f64) -> Option<Self> {
        let r = &b.medium.retention;
        let grain = r.second.map_or(0.5 * (r.theta_s - r.theta_r), |(share, _, _)| share * (r.theta_s - r.theta_r));
        let depth = b.depth.get().value;
        let envelope = floor_area * depth;
        // Between floods the grains give back a tenth of what they hold.
        let held = |w: f64| floor_area * (w * grain + (depth - w) * 0.9 * grain);
        let points: Vec<(f64, f64)> = (0..=2).map(|i| (depth * i as f64 / 2.0, held(depth * i as f64 / 2.0))).collect();
        Some(Self {
            base: 0.0,
            wet_from: lowest.max(0.0),
            height: m(depth).value,
            envelope,
            dry: envelope * b.medium.dry_content.min(grain),
            target: Pchip::new(&points)?,
            soak_s: b.medium.soak_s * factor,
            release_s: b.medium.release_s * factor,
        })
    }

    /// Water held at the start \[m³\].
    pub(crate) fn at_start(&self, moisture: Moisture) -> f64 {
        match moisture {
            Moisture::Dry => self.dry,
            Moisture::Moist => self.target.at(0.0).0,
        }
    }

    /// Net flow into the media \[m³/s\] when they hold `held` \[m³\] and water stands at `depth` \[m\].
    pub(crate) fn uptake(&self, held: f64, depth: f64) -> f64 {
        let level = (depth - self.base).clamp(0.0, self.height);
        let want = self.target.at(level).0 - held;
        if want > 0.0 {
            let reach = ((depth - self.wet_from) / FILM).clamp(0.0, 1.0);
            reach * want / self.soak_s
        } else {
            want / self.release_s
        }
    }

    /// Envelope volume that the content refers to \[m³\].
    pub(crate) fn envelope(&self) -> f64 {
        self.envelope
    }
}
