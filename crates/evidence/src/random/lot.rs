/// Numbers by lot for the examples that feed second programs, the same for the same seed.
///
/// Source: splitmix64, Steele, Lea & Flood, OOPSLA 2014 (from memory).
#[derive(Clone, Copy, Debug)]
pub struct Lot(pub u64);

impl Lot {
    /// A lot far from that of the next seed.
    pub fn of(seed: u64) -> Self {
        Self(seed.wrapping_mul(0xd134_2543_de82_ef95))
    }

    /// From 0 to 1.
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Evenly between two numbers.
    pub fn span(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.unit()
    }

    /// Evenly in the logarithm.
    pub fn log(&mut self, from: f64, to: f64) -> f64 {
        self.span(from.ln(), to.ln()).exp()
    }

    /// A whole number from 1 to `most`.
    pub fn up_to(&mut self, most: usize) -> usize {
        1 + ((self.unit() * most as f64) as usize).min(most - 1)
    }

    /// Yes in a share of all cases.
    pub fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }
}
