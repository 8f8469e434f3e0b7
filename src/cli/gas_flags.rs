//! The flags that say which gas is meant.

use super::noun::Gas;
use super::read_by::reads;
use super::seal::percent;
use crate::core::gas::GasStatement;
use clap::Args;

/// The gas that is asked about.
#[derive(Debug, Args)]
pub(super) struct GasFlags {
    /// The gas, as air, "nitrox 32", oxygen, argon
    #[arg(long, value_name = "GAS")]
    gas: Option<Gas>,
    /// Share of oxygen in the gas, as "32 %"; where the words say more, the higher one counts
    #[arg(long, value_name = "PERCENT", value_parser = reads(percent))]
    oxygen: Option<f64>,
}

impl GasFlags {
    /// Returns what was said of the gas, where anything was.
    pub(super) fn statement(&self) -> Option<GasStatement> {
        const PERCENT: f64 = 100.0;
        let oxygen = self.oxygen.map(|share| share / PERCENT);
        let said = self.gas.is_some() || oxygen.is_some();
        said.then(|| GasStatement {
            words: self.gas.clone().map(Into::into),
            oxygen,
        })
    }
}
