//! The pressure stage of a regulator: force balance, spring, shim, judged readings, creep.
//!
//! # Derivation
//!
//! Symbols: `p` the intermediate pressure and `ps` the supply, both above the surroundings; `A(d) = π d²/4`; `Fs` the
//! main spring, `Fp` the small spring behind a poppet. All four balances are written for the state *just closed*: the
//! seat touches and carries no force, and nothing rubs. The ambient pressure acts on the same areas on both sides of each
//! balance, so that it falls out once `p` and `ps` are counted from it.
//!
//! *Unbalanced piston.* The high-pressure jet pushes the seat open. Opening: `Fs`, the supply on the seat circle `As`, and
//! `p` on the rest of the stem end `At − As`. Closing: `p` on the head `Ah`. So
//! `p (Ah − At + As) = Fs + ps As`, the slope `dp/dps = +As/(Ah − At + As)`: the pressure falls as the supply falls.
//!
//! *Balanced (flow-through) piston.* The hollow stem passes through a ring of diameter `dsh` into the supply; its sharp edge
//! `de` seals on the seat. Opening: `Fs` and the supply on `Ash − Ae`. Closing: `p` on `Ah − Ae`. So
//! `p = (Fs + ps (Ash − Ae))/(Ah − Ae)`: no slope where edge and shaft are equal; a smaller edge falls with the supply.
//!
//! *Unbalanced diaphragm.* The supply pushes the poppet shut. Opening: `Fs`. Closing: `p` on the diaphragm `Ad`, the
//! difference `ps − p` on the seat `As`, and `Fp`. So `p = (Fs − Fp − ps As)/(Ad − As)`: it rises as the supply falls.
//!
//! *Balanced diaphragm.* The poppet's tail, of seal area `Ab`, stands in a chamber at `p`. So
//! `p = (Fs − Fp − ps (As − Ab))/(Ad − As + Ab)`.
//!
//! All four are `p = (F + ps S)/E` with an effective area `E` and a signed supply area `S` ([`Balance`]). Lock-up adds the
//! force that indents the seat, `Fbite/E`; friction spreads readings by `±Ff/E`; under flow the spring stretches by the
//! lift, which takes `k·lift/E` (droop); a shim of thickness `t` adds `k·t/E`.
//!
//! The areas are those of the sealing circles, not of the holes. `tests/conformance/stage.rs` reproduces worked figures.
//!
//! # Judging
//!
//! A trend names a design from 9 to 1 on; the two balanced designs look alike and are named together. The next shim is
//! a regression with theory as prior, so that two real settings overrule it; the stack from stock is exact (every sum
//! is formed). Creep takes off the gas that settles (an exponential of four time constants, weighed) and calls nothing
//! inside the doubt: it says how long to watch. `tests/bench/stage.rs` measures all three on units of known truth. A
//! limit belongs to a kind of gear: unstated gear is taken for a breathing first stage, because most is asked of that,
//! and a kind without limits is held against recorded ratings alone.

mod balance;
mod caution;
mod creep;
mod cylinder;
mod design;
mod fit;
mod gauge;
mod limits;
mod modulus;
mod reading;
mod shim;
mod spring;
mod stack;
mod stop;
mod trend;
mod verdict;
mod warning;

pub use balance::{BELIEVED_CIRCLE_MM, Balance, Stage, StageFault};
pub use caution::{Step, cautions};
pub use creep::{CreepCall, CreepLimit, CreepVerdict, judge_creep, leak_ml_per_min};
pub use cylinder::{
    DepthUnit, PLUS_CONDITIONS, above_surface, burst_energy_kj, depth_pressure, parse_depth,
    plus_pressure, sudden_fill_celsius, warming_bar_per_kelvin,
};
pub use design::StageDesign;
pub use fit::{Line, fit_line};
pub use gauge::{Gauge, GaugeFault, GaugeStanding};
pub use limits::{LimitFault, SettingLimit, SettingLimits, read_limits};
pub use modulus::{Magnet, SpringMaterial, spring_materials};
pub use reading::{
    ReadingFault, SettingReading, SupplyRating, parse_creep, parse_rating, parse_setting,
    parse_settings,
};
pub use shim::{Adjuster, AdjusterSetting, NextSetting, ShimQuestion, next_setting};
pub use spring::{
    CoilEnds, ForcePoint, Preload, PreloadVerdict, Rate, SpringFault, SpringShape,
    rate_from_points, rate_of_unit,
};
pub use stack::{ShimStock, Stack, StackFault, parse_shims, stack_for};
pub use stop::{OutletBound, Stop, StopRule, stops};
pub use trend::{DesignGroup, DesignOdds, ExplainedSeat, Trend, explain_seat, infer_design};
pub use verdict::{
    CheckName, READING_SD_BAR, SettingCheck, SettingQuestion, SettingReport, Unread, judge_setting,
};
pub use warning::{CreepWarning, SettingWarning};
