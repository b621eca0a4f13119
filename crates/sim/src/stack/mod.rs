//! The blocks of one tray through a day: one column for all of them, their roots and tops, and the air in
//! them.
//!
//! All stacks of a tray are alike and are followed once. Whoever owns the water around them says how deep it
//! stands and how much of it there is; what blocks take and give comes back in cubic metres of the tray.

mod cells;
mod demand;

pub(crate) use demand::light_w_m2;
pub use demand::{Demand, transpiration_a_day_m};

use crate::block::{
    Around, Base, Beside, Breath, Column, Entry, Exchange, Kept, Oxygen, Piece, Roots, Settings, Stuck, Told, Top, Work,
};
use tidewright_physics::oxygen;
use tidewright_rig::Rig;
use tidewright_rig::bench::Moisture;

/// Water shallower than this is a film that no block stands in \[m\].
const FILM_M: f64 = 1e-4;
/// Change of the level after which the next step is tried short \[m\].
const LEAP_M: f64 = 0.004;
/// Longest stretch in one go \[s\].
const STRETCH_S: f64 = 900.0;
/// Heads between which roots drink freely \[m\]: dry end by our own start values for soilless media, no source; the
/// wet end is left open, since want of air is told by the oxygen itself.
const STRESS_M: [f64; 4] = [2.0, 1.0, -0.5, -1.0];
/// Share of its demand from which a crop's roots in wet parts make up for others \[-\]. Source: Jarvis 1989 (from memory).
const MAKES_UP_FROM: f64 = 0.5;
/// Largest error of a step in a cell's content \[-\]; and where many days are followed.
const ERROR: f64 = 2e-3;
const BRISK: f64 = 8e-3;
/// … and of a day that only leads to the one that counts.
const ROUGH: f64 = 3e-2;
/// Suction of a block as bought, through and through \[m\]: as good as dry.
const BOUGHT_DRY_M: f64 = 1.0;
/// Oxygen below which roots of leafy crops were seen to lose \[mg/L\], as if the water were in contact with the air.
/// Source: lettuce lost nothing down to 2.1 mg/L, Goto et al., Acta Hortic. 440 (1996) 205–210 (from memory).
pub const LOW_OXYGEN_MG_L: f64 = 2.1;
/// Heights at which a moment keeps the water content, from the base up.
pub const PROFILE: usize = 16;

/// Which retention curve a medium follows: between the two lies where it is, since it was wetted last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Branch {
    /// As it dries from saturation: the most water at a suction.
    #[default]
    Drying,
    /// The same at the wet end of what was measured of the medium.
    Wettest,
    /// As it wets from dry: α greater by the medium's own factor, at the dry end of what was measured.
    Wetting,
}

/// The blocks of a tray at one moment.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct BlockMoment {
    /// After midnight \[s\].
    pub t_s: f64,
    /// Mean water content \[-\].
    pub mean: f64,
    /// Content of the top cell \[-\].
    pub top: f64,
    /// Content of the lowest cell \[-\].
    pub base: f64,
    /// Mean air-filled porosity \[-\].
    pub air: f64,
    /// Share of its demand that the crop gets \[-\].
    pub supplied: f64,
    /// Oxygen at the roots over that of the air above, mean by roots \[-\].
    pub oxygen: f64,
    /// Share of the roots with less than [`LOW_OXYGEN_MG_L`] \[-\].
    pub starved: f64,
    /// Water content by height, from the base up \[-\].
    pub profile: [f64; PROFILE],
}

/// What a stretch moved \[m³\], all blocks of the tray together.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize)]
pub struct Moved {
    /// Out of the tray into the blocks.
    pub taken_m3: f64,
    /// Out of the blocks into the tray.
    pub given_back_m3: f64,
    /// Drunk by the crop.
    pub drunk_m3: f64,
    /// Off the tops into the air.
    pub evaporated_m3: f64,
}

impl Moved {
    /// What the tray lost.
    pub fn net_m3(&self) -> f64 {
        self.taken_m3 - self.given_back_m3
    }
}

impl std::ops::AddAssign for Moved {
    fn add_assign(&mut self, more: Self) {
        self.taken_m3 += more.taken_m3;
        self.given_back_m3 += more.given_back_m3;
        self.drunk_m3 += more.drunk_m3;
        self.evaporated_m3 += more.evaporated_m3;
    }
}

/// How blocks are followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Manner {
    /// Retention curve.
    pub branch: Branch,
    /// Factor on what the crop asks for \[-\]; nil leaves crop and air out.
    pub thirst: f64,
    /// Whether gas diffuses as little as is published.
    pub stuffy: bool,
    /// Whether oxygen is followed.
    pub breathes: bool,
    /// Whether steps may err more, for many days in a row.
    pub brisk: bool,
}

impl Manner {
    /// Water alone.
    pub const STILL: Self = Self { branch: Branch::Drying, thirst: 0.0, stuffy: false, breathes: false, brisk: false };
    /// A day with everything at its likely value.
    pub const LIKELY: Self = Self { thirst: 1.0, breathes: true, ..Self::STILL };
}

/// A moment that a stack can go back to.
#[derive(Clone, Debug, Default)]
struct Bookmark {
    column: Kept,
    oxygen: (Vec<f64>, Vec<f64>),
    first_s: f64,
    stood_at: f64,
}

/// The blocks of one tray.
#[derive(Clone, Debug)]
pub struct Stack {
    column: Column,
    oxygen: Option<Oxygen>,
    demand: Demand,
    shares: Vec<f64>,
    /// Plan of all stacks \[m²\].
    plan: f64,
    /// Height of their underside over the tray's floor \[m\].
    base: f64,
    entry: Option<Entry>,
    settings: Settings,
    /// Error of a step that was asked for \[-\].
    exact: f64,
    /// The water's way, piece by piece, where somebody wants to know.
    pieces: Option<Vec<Piece>>,
    /// Water poured on the tops: from, to \[s after midnight\], m/s.
    poured: Option<(f64, f64, f64)>,
    /// How high water stood around them last \[m\].
    stood_at: f64,
    /// What surrounds them, and the air in them, as last.
    around: Around,
    breath: Breath,
    /// State before a stretch, and before a step of the flood, to go back to.
    before: Kept,
    kept: Bookmark,
    work: Work,
}

impl Stack {
    /// The blocks of a tray as the bench file says; none where no blocks stand.
    pub fn of(rig: &Rig, tray: usize, manner: Manner) -> Option<Self> {
        let blocks = rig.trays.get(tray)?.blocks.as_ref()?;
        let column = cells::column(blocks, manner.branch);
        let shares = cells::root_shares(&column, rig.growing.stage.get());
        let temperature = rig.site.water_temperature.get();
        let demand = Demand::of(rig, tray, blocks, manner.thirst);
        let plan = blocks.plan_area().value;
        let entry =
            (!blocks.wrapped.get()).then(|| Entry::of_block(blocks.width.get().value, blocks.length.get().value));
        let used = demand.oxygen_g_s(temperature) / plan;
        let exact = if manner.brisk { BRISK } else { ERROR };
        Some(Self {
            around: Around {
                roots: (manner.thirst > 0.0).then(|| Roots {
                    demand_m_s: 0.0,
                    shares: shares.clone(),
                    stress_m: STRESS_M,
                    makes_up_from: MAKES_UP_FROM,
                }),
                ..Around::drained()
            },
            breath: Breath {
                temperature,
                demand_g_m2_s: shares.iter().map(|s| used * s).collect(),
                level_m: None,
                sides_per_m2: entry.and_then(|e| if let Entry::Through(b) = e { Some(b) } else { None }),
                low: manner.stuffy,
                brought: BROUGHT,
            },
            before: Kept::default(),
            kept: Bookmark::default(),
            work: Work::default(),
            oxygen: manner.breathes.then(|| Oxygen::fresh(&column, temperature)),
            demand,
            shares,
            plan,
            base: blocks.base.get().value,
            entry,
            settings: Settings { content: exact, ..Settings::default() },
            exact,
            stood_at: 0.0,
            pieces: None,
            poured: None,
            column,
        })
    }

    /// The same, as wet as a bench's blocks are at the start.
    #[must_use]
    pub fn at(mut self, moisture: Moisture) -> Self {
        if moisture == Moisture::Dry {
            self.column = self.column.with_heads(|_| -BOUGHT_DRY_M);
            self.oxygen = self.oxygen.map(|_| Oxygen::fresh(&self.column, self.breath.temperature));
        }
        self
    }

    /// Follows it roughly, for days that only lead to the one that counts, or as exactly as was asked for.
    pub(crate) fn roughly(&mut self, rough: bool) {
        self.settings.content = if rough { ROUGH } else { self.exact };
    }

    /// Marks this moment …
    pub(crate) fn mark(&mut self) {
        self.column.keep(&mut self.kept.column);
        if let Some(o) = &self.oxygen {
            o.keep(&mut self.kept.oxygen);
        }
        (self.kept.first_s, self.kept.stood_at) = (self.settings.first_s, self.stood_at);
    }

    /// … and goes back to it.
    pub(crate) fn go_back(&mut self) {
        self.column.go_back(&self.kept.column);
        if let Some(o) = &mut self.oxygen {
            o.go_back(&self.kept.oxygen);
        }
        (self.settings.first_s, self.stood_at) = (self.kept.first_s, self.kept.stood_at);
    }

    /// Goes on with the water and air of the same blocks as they were left.
    pub(crate) fn takes_over(&mut self, left: Self) {
        self.column = left.column;
        self.oxygen = left.oxygen;
    }

    /// Water in all blocks \[m³\].
    pub fn water_m3(&self) -> f64 {
        self.column.water_m() * self.plan
    }

    /// Room of all blocks \[m³\].
    pub fn envelope_m3(&self) -> f64 {
        self.column.height_m() * self.plan
    }

    /// Height of their underside over the tray's floor \[m\].
    pub fn base_m(&self) -> f64 {
        self.base
    }

    /// Share of its pores that water fills at a height over the undersides, the block at rest \[-\].
    pub fn lifts_to(&self, height_m: f64) -> f64 {
        let z = self.column.heights_m();
        let i = z.partition_point(|x| *x < height_m).min(z.len() - 1);
        let (water, air) = (self.column.contents()[i], self.column.air()[i]);
        water / (water + air)
    }

    /// Writes down the water's way from now on …
    pub(crate) fn record(&mut self) {
        self.pieces = Some(Vec::new());
    }

    /// … and gives it away, with the sizes and pores of the cells.
    pub(crate) fn recorded(&mut self) -> (Vec<Piece>, Vec<f64>, Vec<f64>) {
        let sizes = self.column.sizes_m().to_vec();
        let pores = (0..sizes.len()).map(|i| self.column.pores(i)).collect();
        (self.pieces.take().unwrap_or_default(), sizes, pores)
    }

    /// Pours `m_s` on the tops between two times of day \[s after midnight\].
    pub(crate) fn pour(&mut self, from_s: f64, to_s: f64, m_s: f64) {
        self.poured = Some((from_s, to_s, m_s));
    }

    /// What the crop asks for.
    pub fn demand(&self) -> &Demand {
        &self.demand
    }

    /// Whether water at this depth in the tray reaches them \[m\].
    pub fn is_wetted_at(&self, depth_m: f64) -> bool {
        depth_m - self.base > FILM_M
    }

    /// Goes on from one time of day to another with water `depth_m` deep in the tray, of which they can take
    /// no more than `available_m3`; each piece is told to `tell`.
    ///
    /// # Errors
    /// [`Stuck`] where the water in them cannot be followed.
    pub fn advance(
        &mut self,
        (from_s, to_s): (f64, f64),
        depth_m: f64,
        available_m3: f64,
        tell: &mut impl FnMut(BlockMoment),
    ) -> Result<Moved, Stuck> {
        let mut all = Moved::default();
        let mut at = from_s;
        let mut available = available_m3.max(0.0);
        while to_s - at > 1e-9 {
            let to = self.demand.next_switch(at).min(at + STRETCH_S).min(to_s);
            let moved = self.piece((at, to), depth_m - self.base, available)?;
            available = (available - moved.net_m3()).max(0.0);
            let asked = self.demand.water_m3_s(0.5 * (at + to)) * (to - at);
            tell(self.moment(to, if asked > 0.0 { moved.drunk_m3 / asked } else { 1.0 }));
            all += moved;
            at = to;
        }
        Ok(all)
    }

    fn piece(&mut self, (from, to): (f64, f64), level: f64, available: f64) -> Result<Moved, Stuck> {
        let (dt, middle) = (to - from, 0.5 * (from + to));
        let crop = self.demand.water_m3_s(middle);
        let around = &mut self.around;
        around.top = Top::Drying(self.demand.evaporation_m_s(middle));
        if let Some(roots) = &mut around.roots {
            roots.demand_m_s = crop / self.plan;
        }
        let wet = level > FILM_M;
        around.base = if wet { Base::Standing(level) } else { Base::Seeping };
        around.beside = self.entry.map(|entry| Beside { level_m: if wet { level } else { 0.0 }, entry });
        let of_day = middle.rem_euclid(86_400.0);
        if let Some((_, _, m_s)) = self.poured.filter(|p| (p.0..p.1).contains(&of_day)) {
            around.top = Top::Evaporating(-m_s);
        }
        self.column.keep(&mut self.before);
        let stands = if wet { level } else { 0.0 };
        if (stands - self.stood_at).abs() > LEAP_M {
            self.settings.first_s = Settings::default().first_s;
        }
        self.stood_at = stands;
        let was = self.pieces.as_ref().map(|_| self.column.contents().to_vec());
        self.work.told = was.as_ref().map(|_| Told::default());
        let mut x = self.column.advance_in(&mut self.work, dt, &self.around, &self.settings)?;
        if wet && (x.base_m + x.sides_m) * self.plan > available {
            // They would take more than stands there: they take all of it, and evenly.
            self.column.go_back(&self.before);
            self.around.base = Base::Flow(available / self.plan / dt);
            self.around.beside = None;
            self.work.told = was.as_ref().map(|_| Told::default());
            x = self.column.advance_in(&mut self.work, dt, &self.around, &self.settings)?;
        }
        if let (Some(all), Some(was), Some(told)) = (&mut self.pieces, was, self.work.told.take()) {
            all.push(Piece {
                dt_s: dt,
                content: (was, self.column.contents().to_vec()),
                face_m: told.face,
                drunk_m: told.drunk,
                entered_m: told.entered,
            });
        }
        self.settings.first_s = x.next_s;
        self.breathe(dt, wet.then_some(level));
        Ok(self.moved(x))
    }

    fn moved(&self, x: Exchange) -> Moved {
        let net = (x.base_m + x.sides_m) * self.plan;
        Moved {
            taken_m3: net.max(0.0),
            given_back_m3: (-net).max(0.0),
            drunk_m3: -x.roots_m * self.plan,
            evaporated_m3: -x.top_m * self.plan,
        }
    }

    fn breathe(&mut self, dt: f64, level: Option<f64>) {
        let Some(oxygen) = &mut self.oxygen else { return };
        self.breath.level_m = level;
        oxygen.advance(&self.column, dt, &self.breath);
    }

    fn moment(&self, t_s: f64, supplied: f64) -> BlockMoment {
        let c = self.column.contents();
        let sizes = self.column.sizes_m();
        let air = |i: usize| (self.column.pores(i) - c[i]).max(0.0);
        let (oxygen, starved) = self.oxygen.as_ref().map_or((1.0, 0.0), |o| {
            let outside = oxygen::in_air_g_m3(self.breath.temperature);
            let low = LOW_OXYGEN_MG_L / oxygen::saturation_mg_l(self.breath.temperature);
            let each = || o.gas_g_m3().iter().map(|g| g / outside).zip(&self.shares);
            (each().map(|(g, s)| g * s).sum(), each().filter(|(g, _)| *g < low).map(|(_, s)| s).fold(0.0, |a, s| a + s))
        });
        BlockMoment {
            t_s,
            mean: self.column.mean_content(),
            top: c.last().copied().unwrap_or(0.0),
            base: c.first().copied().unwrap_or(0.0),
            air: sizes.iter().enumerate().map(|(i, d)| air(i) * d).sum::<f64>() / self.column.height_m(),
            supplied,
            oxygen,
            starved,
            profile: self.profile(),
        }
    }

    /// Water content in bands of equal height.
    fn profile(&self) -> [f64; PROFILE] {
        let (z, c) = (self.column.heights_m(), self.column.contents());
        std::array::from_fn(|k| {
            let at = (k as f64 + 0.5) / PROFILE as f64 * self.column.height_m();
            let i = z.partition_point(|x| *x < at).clamp(1, z.len() - 1);
            let share = ((at - z[i - 1]) / (z[i] - z[i - 1])).clamp(0.0, 1.0);
            c[i - 1] + share * (c[i] - c[i - 1])
        })
    }
}

/// Oxygen of water that a pump brings over what air would give it \[-\]. Common practice, no source: water that falls
/// back into the reservoir twice an hour holds nine tenths.
const BROUGHT: f64 = 0.9;
