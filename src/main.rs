//! The `perchside` command. The only place that reads the clock.

use std::io::{ErrorKind, IsTerminal as _, Write as _};
use std::process::ExitCode;

use clap::Parser as _;
use perchside::cli::{Cli, Io, Outcome, run};

fn main() -> ExitCode {
    let cli = Cli::parse();
    let colour = std::io::stderr().is_terminal()
        && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty());
    let now = jiff::ZonedDateTime::now();
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    let mut err = std::io::stderr().lock();
    let mut io = Io {
        out: &mut out,
        err: &mut err,
        colour,
        today: now.date(),
        now,
        terminal: std::io::stdout().is_terminal(),
    };
    let result = run(cli, &mut io).and_then(|outcome| out.flush().map(|()| outcome));
    match result {
        Ok(outcome) => ExitCode::from(outcome.code()),
        // Whoever reads us may stop reading.
        Err(error) if error.kind() == ErrorKind::BrokenPipe => ExitCode::from(Outcome::Done.code()),
        Err(error) => {
            eprintln!("error: {error}");
            ExitCode::from(Outcome::InputErrors.code())
        }
    }
}
