//! What a redaction tells: what it replaced, what it kept, and what was left.

use std::collections::{BTreeMap, BTreeSet};
use std::io;

use crate::redact::{Case, Secret, leaks};

use super::Io;

/// Says what a redaction replaced, without repeating it.
pub(super) fn account_said(case: &Case, io: &mut Io<'_>) -> io::Result<()> {
    let account = &case.account;
    for (stand_in, (question, count)) in &account.replaced {
        let times = if *count == 1 { "answer" } else { "answers" };
        writeln!(
            io.err,
            "replaced: {question} by {stand_in}, in {count} {times}"
        )?;
    }
    writeln!(
        io.err,
        "replaced: {} dates, all moved by the same number of days; {} numbers, addresses or dates in running text were left out",
        account.dates, account.left_out
    )?;
    if !account.kept.is_empty() {
        writeln!(
            io.err,
            "kept, with known names taken out; a second person reads these before they leave the house: {}",
            account.kept.join(", ")
        )?;
    }
    if !case.differs.is_empty() {
        writeln!(
            io.err,
            "warning: without place and whole dates these come out another way than in the real case: {}",
            case.differs.join(", ")
        )?;
    }
    Ok(())
}

/// True when no paper holds what was to be replaced. A word that the papers' own texts have too is said, for someone to look.
pub(in crate::cli) fn nothing_left(
    secrets: &[Secret],
    files: &[(String, String)],
    texts: &str,
    io: &mut Io<'_>,
) -> io::Result<bool> {
    let papers = files
        .iter()
        .map(|(name, text)| (name.as_str(), text.as_str()));
    let mut clean = true;
    let mut ordinary: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for leak in leaks(secrets, papers, texts) {
        if leak.ordinary {
            ordinary.entry(leak.question).or_default().insert(leak.file);
        } else {
            clean = false;
            writeln!(
                io.err,
                "error: {} still holds what was told to {}; nothing was written",
                leak.file, leak.question
            )?;
        }
    }
    for (question, files) in ordinary {
        writeln!(
            io.err,
            "look at it: {} files hold a word told to {question}, which is also an ordinary word of the papers; the first is {}",
            files.len(),
            files.iter().next().map_or("", String::as_str)
        )?;
    }
    Ok(clean)
}
