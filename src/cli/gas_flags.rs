//! The flags that say which gas is meant.

use super::error::CliError;
use super::seal::oxygen;
use crate::core::gas::GasStatement;
use clap::Args;

/// The gas that is asked about.
#[derive(Debug, Args)]
pub(super) struct GasFlags {
    /// The gas, as air, "nitrox 32", oxygen, argon
    #[arg(long, value_name = "GAS")]
    gas: Option<String>,
    /// Share of oxygen in the gas, as "32 %"; where the words say more, the higher one counts
    #[arg(long, value_name = "PERCENT")]
    oxygen: Option<String>,
}

impl GasFlags {
    /// Returns what was said of the gas, where anything was.
    ///
    /// # Errors
    /// The share cannot be read.
    pub(super) fn statement(&self) -> Result<Option<GasStatement>, CliError> {
        const PERCENT: f64 = 100.0;
        let oxygen = oxygen(self.oxygen.as_deref())?.map(|share| share / PERCENT);
        let said = self.gas.is_some() || oxygen.is_some();
        Ok(said.then(|| GasStatement {
            words: self.gas.clone(),
            oxygen,
        }))
    }
}
