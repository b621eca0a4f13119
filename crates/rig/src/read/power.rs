use super::section::Section;
use crate::bench::Mains;
use crate::value::Value;
use tidewright_physics::quantity::{Energy, Frequency, amperes, m, mm, volts, watt_hours};

/// `[power]`; without it nothing of it is judged but what stands in other sections.
pub(crate) fn read(s: &Section<'_>, mains: &Value<Frequency>) -> Mains {
    let sixty = mains.get().value > 55.0;
    let voltage = s
        .quantity("voltage", "voltage of the socket")
        .range(volts(90.0), volts(260.0))
        .or(if sixty { volts(120.0) } else { volts(230.0) }, "the usual one at this mains frequency");
    let low = voltage.get().value < 150.0;
    let out = Mains {
        stated: s.present(),
        circuit: s
            .quantity("circuit", "what the circuit's breaker carries")
            .range(amperes(1.0), amperes(63.0))
            .or(amperes(if low { 15.0 } else { 10.0 }), "the smaller of the usual breakers"),
        others: s
            .quantity("others", "what else hangs on that circuit")
            .range(amperes(0.0), amperes(63.0))
            .or(amperes(0.0), "nobody said: nothing"),
        residual_current: s.flag("residual_current", "residual-current device before all its sockets").optional(),
        timer_rating: s
            .quantity("timer_rating", "what the timer's contacts carry of a motor or lamp")
            .range(amperes(0.1), amperes(63.0))
            .or(
                amperes(2.0),
                "common practice: 16 A printed is for a kettle; 2 A of motor or lamp is what small ones stand",
            ),
        contactor: s.flag("contactor", "a contactor switches the lamps").or(false, "none named"),
        lamp_inrush: s
            .number("lamp_inrush", "inrush of a lamp's driver over its running current")
            .range(1.0, 300.0)
            .or(40.0, "from memory: LED drivers 20 to 100 times for under a millisecond"),
        outlet_height: s
            .quantity("outlet_height", "height of the sockets above the floor of the room")
            .range(mm(0.0), m(6.0))
            .or(m(0.3), "common practice: a wall socket near the floor"),
        drip_loops: s.flag("drip_loops", "drip loops in all cords").optional(),
        battery: s
            .quantity::<Energy>("battery", "battery behind the air pump")
            .range(watt_hours(1.0), watt_hours(100_000.0))
            .optional(),
        battery_share: s
            .quantity("battery_share", "share of the battery that arrives at the air pump")
            .range(0.1, 1.0)
            .or(0.7, "from memory: inverter and what a battery should keep"),
        voltage,
    };
    s.finish();
    out
}
