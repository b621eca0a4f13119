//! The sheets, compiled in. A test holds this list against the folder.

macro_rules! sheets {
    ($($name:literal)*) => {
        /// Name and text of every file under `evidence/`.
        pub(crate) const SHEETS: &[(&str, &str)] =
            &[$(($name, include_str!(concat!("../../../evidence/", $name, ".toml")))),*];
    };
}

sheets! {
    "air/canopy"
    "air/light-sums"
    "air/psychrometrics"
    "air/reference-et"
    "flood/course"
    "flood/laws"
    "flood/ordinary"
    "flood/reference"
    "flood/riser"
    "geometry/volumes"
    "hydraulics/affinity"
    "hydraulics/back-drain"
    "hydraulics/draining"
    "hydraulics/fittings"
    "hydraulics/friction-churchill"
    "hydraulics/friction-colebrook"
    "hydraulics/friction-serghides"
    "hydraulics/line-gradient"
    "hydraulics/line-textbook"
    "hydraulics/operating-point"
    "hydraulics/orifice-rows"
    "hydraulics/pump-fit"
    "hydraulics/return-hose"
    "hydraulics/reverse-loss"
    "hydraulics/riser-hec22"
    "hydraulics/riser-small"
    "hydraulics/self-venting"
    "hydraulics/stack-nspc"
    "hydraulics/submergence"
    "hydraulics/vertical-jet"
    "media/conductivity"
    "media/container-capacity"
    "media/fit"
    "media/flooded-content"
    "media/retention"
    "media/rise"
    "oxygen/column"
    "oxygen/pores"
    "roots/blocks"
    "roots/cases"
    "roots/columns"
    "roots/drained-top"
    "roots/floods-a-day"
    "roots/ordinary-gate"
    "roots/side-entry"
    "roots/stress"
    "water/density"
    "water/kinematic-viscosity"
    "water/vapour-pressure"
    "water/viscosity"
}
