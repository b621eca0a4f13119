//! Why a target could not be met with this shelf, and which salt would help.

use super::problem::brings;
use super::recipe::{NOT_MET, Reached, Solved, Wanted};
use tidewright_rig::solution::Salt;

/// Why a target was missed.
#[derive(Clone, Debug, PartialEq)]
pub enum Why {
    /// The water alone brings more.
    Water,
    /// No salt of the shelf brings it.
    Nothing,
    /// What brings it also brings these, which stand at their target already (too little), or is needed for them (too much).
    Along {
        /// Ids of the salts.
        salts: Vec<String>,
        /// Names of the other targets.
        others: Vec<&'static str>,
    },
    /// The acid that the water's alkalinity asks for brings it.
    Acid,
    /// Ammonium stands at its share of nitrogen.
    AmmoniumShare,
    /// The price was let go before.
    Price,
}

impl Why {
    /// In a few words.
    pub fn say(&self) -> String {
        match self {
            Self::Water => "the water alone brings more".into(),
            Self::Nothing => "nothing on the shelf brings it".into(),
            Self::Along { salts, others } if others.is_empty() => format!("only {} brings it", salts.join(" and ")),
            Self::Along { salts, others } => {
                let which = if salts.len() > 3 { "what brings it".to_owned() } else { salts.join(" and ") };
                format!("{which} would upset {}", others.join(", "))
            }
            Self::Acid => "the acid against the water's alkalinity brings it".into(),
            Self::AmmoniumShare => "ammonium stands at its share".into(),
            Self::Price => "let go for the price".into(),
        }
    }
}

/// Fills in the reasons.
pub(super) fn explain(wanted: &Wanted<'_>, solved: &mut Solved) {
    let taken: Vec<usize> = solved.salts.iter().map(|s| s.0).collect();
    let all = solved.targets.clone();
    for reached in &mut solved.targets {
        if reached.miss.abs() > NOT_MET {
            reached.why = Some(reason(wanted, &taken, &all, reached));
        }
    }
}

fn reason(wanted: &Wanted<'_>, taken: &[usize], all: &[Reached], r: &Reached) -> Why {
    let target = &r.target;
    if r.miss > 0.0 && r.from_water > target.high {
        return Why::Water;
    }
    let bringing: Vec<usize> =
        (0..wanted.shelf.len()).filter(|&j| brings(&wanted.shelf[j], target.counts) > 0.0).collect();
    if bringing.is_empty() {
        return Why::Nothing;
    }
    if r.miss > 0.0 && bringing.iter().any(|j| taken.contains(j) && wanted.shelf[*j].is_acid()) {
        return Why::Acid;
    }
    if wanted.cheaper > 0.0 {
        return Why::Price;
    }
    let only_ammonium = bringing.iter().all(|&j| wanted.shelf[j].gives("NH4") > 0.0);
    if r.miss < 0.0 && only_ammonium {
        return Why::AmmoniumShare;
    }
    let named: Vec<usize> =
        if r.miss > 0.0 { bringing.iter().copied().filter(|j| taken.contains(j)).collect() } else { bringing };
    let along = |salt: &Salt, o: &Reached| {
        o.target.name != target.name
            && brings(salt, o.target.counts) > 0.0
            // Too little here: the others are full or over. Too much here: the others would lack without it.
            && if r.miss < 0.0 { o.amount >= o.target.high * 0.99 } else { o.amount <= o.target.high * 1.01 }
    };
    let others =
        all.iter().filter(|o| named.iter().any(|&j| along(&wanted.shelf[j], o))).map(|o| o.target.name).collect();
    Why::Along { salts: named.iter().map(|&j| wanted.shelf[j].id.clone()).collect(), others }
}

/// The salt of the data, not on the shelf, that brings the miss down most; with the typical miss that would be left.
pub fn helper<'l>(wanted: &Wanted<'_>, solved: &Solved, known: &'l [Salt]) -> Option<(&'l Salt, f64)> {
    const WORTH: f64 = 0.8;
    if solved.targets.iter().all(|t| t.miss.abs() <= NOT_MET) {
        return None;
    }
    let mut best: Option<(&Salt, f64)> = None;
    for salt in known.iter().filter(|k| !k.gives.is_empty() && wanted.shelf.iter().all(|s| s.id != k.id)) {
        let mut shelf = wanted.shelf.to_vec();
        shelf.push(salt.clone());
        let with = super::recipe::closest_miss(&Wanted { shelf: &shelf, ..wanted.clone() }, solved);
        if let Some(miss) = with
            && miss < WORTH * solved.miss
            && best.is_none_or(|b| miss < b.1)
        {
            best = Some((salt, miss));
        }
    }
    best
}
