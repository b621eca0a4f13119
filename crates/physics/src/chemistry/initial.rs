//! A first guess for the solver: acidity from each component by itself, then chelates one after the other.

/// What one component becomes with protons alone: K/γ of each form and its protons.
#[derive(Clone, Debug, Default)]
pub(super) struct Forms(Vec<(f64, i32)>);

const MOST_PROTONS: i32 = 6;

impl Forms {
    pub(super) fn push(&mut self, k: f64, protons: i32) {
        if protons.abs() <= MOST_PROTONS {
            self.0.push((k, protons));
        }
    }

    pub(super) fn clear(&mut self) {
        self.0.clear();
    }

    /// Σ K hⁿ and Σ n K hⁿ, powers of h at hand.
    fn sums(&self, powers: &[f64; 13]) -> (f64, f64) {
        self.0.iter().fold((0.0, 0.0), |(s, p), &(k, n)| {
            let x = k * powers[(n + MOST_PROTONS) as usize];
            (s + x, p + f64::from(n) * x)
        })
    }

    /// ln of the component's own activity where its forms add up to a total.
    pub(super) fn ln_activity(&self, total: f64, h: f64) -> f64 {
        (total / self.sums(&powers(h)).0).ln()
    }
}

fn powers(h: f64) -> [f64; 13] {
    let mut p = [1.0; 13];
    let back = 1.0 / h;
    for n in 1..=6 {
        p[6 + n] = p[5 + n] * h;
        p[6 - n] = p[7 - n] * back;
    }
    p
}

/// What is known of a component.
#[derive(Clone, Copy, Debug)]
pub(super) enum Known {
    Total(f64),
    Activity(f64),
}

/// Activity of H⁺ at which components by themselves hold a total of protons.
///
/// `free`: K/γ of H⁺ and OH⁻ (as the pair of factors on h and 1/h); `parts`: what is known of each component, and its forms.
pub(super) fn acidity(total_h: f64, free: (f64, f64), parts: &[(Known, &Forms)]) -> f64 {
    let (mut low, mut high) = (-14.5_f64, 1.0_f64);
    for _ in 0..26 {
        let mid = 0.5 * (low + high);
        let h = 10f64.powf(mid);
        let p = powers(h);
        let bound: f64 = parts
            .iter()
            .map(|(known, forms)| {
                let (s, n) = forms.sums(&p);
                match known {
                    Known::Total(total) if s > 0.0 => total * n / s,
                    Known::Total(_) => 0.0,
                    Known::Activity(a) => a * n,
                }
            })
            .sum();
        if bound + free.0 * h - free.1 / h > total_h {
            high = mid;
        } else {
            low = mid;
        }
    }
    10f64.powf(0.5 * (low + high))
}
