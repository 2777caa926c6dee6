//! The commands of the program, one module each.
//!
//! A command turns its arguments into text and an exit code. It holds no rules of the trade and no
//! rules of the day. Invariant: exit code 1 means it could not be done, 2 bad usage, 3 refused with
//! a reason.

pub mod backup;
pub mod check;
mod clock;
pub mod demo;
pub mod export;
mod file;
pub mod forecast;
pub mod import;
pub mod lead_key;
mod log;
pub mod lookback;
pub mod prepare;
pub mod replay;
pub mod restore;
mod say;
pub mod serve;
pub mod simulate;
pub mod tested;

use clap::{Parser, Subcommand};
use std::process::ExitCode;

/// A live station board for a family's preserving day.
#[derive(Debug, Parser)]
#[command(version)]
pub struct Program {
    /// How the log is written to standard error; PUTBY_LOG says how much of it.
    #[arg(long, global = true, env = "PUTBY_LOG_FORM", value_enum, default_value_t = log::Form::Plain)]
    log: log::Form,
    #[command(subcommand)]
    verb: Option<Verb>,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Runs the board for everybody on the home network (the same as giving no command).
    Serve(serve::ServeArgs),
    /// Shows a simulated family at work on the board, faster than life.
    Demo(demo::DemoArgs),
    /// Puts a written day through the rules and shows how it ends.
    Replay(replay::ReplayArgs),
    /// Simulates a small network of stations and says what came of it.
    Simulate(simulate::SimulateArgs),
    /// Says how a written day goes on from a moment: when it ends, what sets that, what helps.
    Forecast(forecast::ForecastArgs),
    /// Tells what a written day was like.
    Lookback(lookback::LookBackArgs),
    /// Proposes what to make of the produce there is, for what the family eats.
    Prepare(prepare::PrepareArgs),
    /// Looks whether everything the board keeps is as it was written; the board may run meanwhile.
    Check(check::CheckArgs),
    /// Copies everything the board keeps, to be put back here; the board may run meanwhile.
    Backup(backup::BackupArgs),
    /// Puts such a copy in the place of what the board keeps, which must not run meanwhile.
    Restore(restore::RestoreArgs),
    /// Writes everything the board keeps into one file, to be read elsewhere; it may run meanwhile.
    Export(export::ExportArgs),
    /// Reads such a file into the board, which must not run meanwhile.
    Import(import::ImportArgs),
    /// Makes another key for the lead, where the one of the first start is lost.
    LeadKey(lead_key::LeadKeyArgs),
    /// Looks up a tested process.
    Tested(tested::TestedArgs),
}

impl Program {
    /// Does what was asked.
    pub fn run(self) -> ExitCode {
        log::begin(self.log);
        match self.verb {
            None => serve::run(serve::ServeArgs::unasked()),
            Some(Verb::Serve(args)) => serve::run(args),
            Some(Verb::Demo(args)) => demo::run(&args),
            Some(Verb::Replay(args)) => replay::run(&args),
            Some(Verb::Simulate(args)) => simulate::run(&args),
            Some(Verb::Forecast(args)) => forecast::run(&args),
            Some(Verb::Lookback(args)) => lookback::run(&args),
            Some(Verb::Prepare(args)) => prepare::run(&args),
            Some(Verb::Check(args)) => check::run(&args),
            Some(Verb::Backup(args)) => backup::run(&args),
            Some(Verb::Restore(args)) => restore::run(&args),
            Some(Verb::Export(args)) => export::run(&args),
            Some(Verb::Import(args)) => import::run(&args),
            Some(Verb::LeadKey(args)) => lead_key::run(&args),
            Some(Verb::Tested(args)) => tested::run(&args),
        }
    }
}
