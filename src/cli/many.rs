//! What commands share that read many forms: where these come from, a count that runs along, and what was passed over.

use std::io::{self, BufReader, IsTerminal as _};
use std::path::{Path, PathBuf};

use crate::inbox::{Inbox, Input};

use super::Io;

/// Files that were passed over are named up to this number.
const MOST_NAMED: usize = 5;

/// Where forms come from; `-`, and no path at all, is standard input.
pub(super) fn inputs(paths: &[PathBuf]) -> Vec<Input> {
    let stdin = || {
        Input::Stream(
            "standard input".to_owned(),
            Box::new(BufReader::with_capacity(64 << 10, io::stdin())),
        )
    };
    if paths.is_empty() {
        return vec![stdin()];
    }
    paths
        .iter()
        .map(|path| {
            if path == Path::new("-") {
                stdin()
            } else {
                Input::Path(path.clone())
            }
        })
        .collect()
}

/// Says which files were passed over by their names.
pub(super) fn say_passed_over(inbox: &Inbox<'_>, io: &mut Io<'_>) -> io::Result<()> {
    let files = &inbox.passed_over;
    if files.is_empty() {
        return Ok(());
    }
    let named = files.iter().take(MOST_NAMED).cloned().collect::<Vec<_>>();
    let more = if files.len() > MOST_NAMED {
        ", …"
    } else {
        ""
    };
    writeln!(
        io.err,
        "passed over, by their names no enquiries: {} ({}{more})",
        files.len(),
        named.join(", ")
    )
}

/// A count that runs along while people wait; on a terminal alone.
pub(super) fn progress(what: &str) -> indicatif::ProgressBar {
    if !io::stderr().is_terminal() {
        return indicatif::ProgressBar::hidden();
    }
    let bar = indicatif::ProgressBar::new_spinner();
    let template = format!("{{spinner}} {{pos}} {what}, {{per_sec}}");
    if let Ok(style) = indicatif::ProgressStyle::with_template(&template) {
        bar.set_style(style);
    }
    bar
}
