//! A first bench file from five tape-measure numbers.

/// What a person reads off a tape and a label; everything else is assumed and says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tape {
    /// What the bench is called.
    pub name: String,
    /// Tray length inside at the rim, with its unit.
    pub tray_length: String,
    /// Tray width inside at the rim, with its unit.
    pub tray_width: String,
    /// Tray depth inside, with its unit.
    pub tray_depth: String,
    /// Height of the tray floor above the floor of the room, with its unit.
    pub tray_height: String,
    /// Volume of the reservoir to its rim, with its unit.
    pub reservoir_volume: String,
}

/// The text of a bench file with these numbers and nothing else.
pub fn bench_file(tape: &Tape) -> String {
    let q = |s: &str| toml_edit::Value::from(s.trim()).to_string();
    format!(
        "# A bench file: every size in quotes with its unit, metric or US. Leave a line out and a usual\n\
         # value stands in, marked as assumed.\n\
         name = {}\n\
         \n\
         [reservoir]\n\
         capacity = {}\n\
         \n\
         [tray]\n\
         length = {}     # inside, at the rim\n\
         width = {}\n\
         depth = {}\n\
         elevation = {}  # tray floor above the floor of the room\n\
         \n\
         [blocks]\n\
         medium = \"stone-wool\"\n\
         \n\
         [drain]\n\
         crest = \"advise\"\n",
        q(&tape.name),
        q(&tape.reservoir_volume),
        q(&tape.tray_length),
        q(&tape.tray_width),
        q(&tape.tray_depth),
        q(&tape.tray_height),
    )
}
