//! Work that falls into independent parts: side by side with the feature `parallel`, else one after
//! the other. What comes out is the same.

/// `f(0)`, `f(1)` … `f(n - 1)`.
#[cfg(feature = "parallel")]
pub fn map<T: Send>(n: usize, f: impl Fn(usize) -> T + Sync + Send) -> Vec<T> {
    use rayon::prelude::*;
    (0..n).into_par_iter().map(f).collect()
}

/// `f(0)`, `f(1)` … `f(n - 1)`.
#[cfg(not(feature = "parallel"))]
pub fn map<T>(n: usize, f: impl Fn(usize) -> T) -> Vec<T> {
    (0..n).map(f).collect()
}

/// Both of two answers.
#[cfg(feature = "parallel")]
pub fn both<A: Send, B: Send>(a: impl FnOnce() -> A + Send, b: impl FnOnce() -> B + Send) -> (A, B) {
    rayon::join(a, b)
}

/// Both of two answers.
#[cfg(not(feature = "parallel"))]
pub fn both<A, B>(a: impl FnOnce() -> A, b: impl FnOnce() -> B) -> (A, B) {
    (a(), b())
}
