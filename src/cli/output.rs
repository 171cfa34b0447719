//! Files written whole or not at all, and how a command ended.

use std::io::{self, Write};
use std::path::Path;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Done.
    Done,
    /// The input has errors; all were shown.
    InputErrors,
    /// Wrong use.
    WrongUse,
    /// Done, and a person must look at it now.
    LookNow,
}

impl Outcome {
    /// The exit status.
    #[must_use]
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::InputErrors => 1,
            Self::WrongUse => 2,
            Self::LookNow => 3,
        }
    }
}

/// Writes a file whole: into a file of its own beside it, which then takes its place.
///
/// # Errors
/// What the file system says, with the path in the message.
pub(super) fn write_whole(path: &Path, text: &str) -> io::Result<()> {
    write_whole_with(path, |out| out.write_all(text.as_bytes()))
}

/// Writes a file whole, piece by piece. Whatever stops it, what stood there before still stands there.
///
/// # Errors
/// What the file system or `write` says, with the path in the message.
pub(super) fn write_whole_with(
    path: &Path,
    write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> io::Result<()> {
    let named =
        |error: io::Error| io::Error::new(error.kind(), format!("{}: {error}", path.display()));
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder).map_err(named)?;
    let file = tempfile::Builder::new()
        .prefix(".perchside-")
        .tempfile_in(folder)
        .map_err(named)?;
    let mut buffered = io::BufWriter::new(file);
    write(&mut buffered).map_err(named)?;
    let file = buffered
        .into_inner()
        .map_err(|error| named(error.into_error()))?;
    file.as_file().sync_all().map_err(named)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // A temporary file is its owner's alone; a paper is an ordinary file.
        let mode = std::fs::Permissions::from_mode(0o644);
        file.as_file().set_permissions(mode).map_err(named)?;
    }
    file.persist(path).map_err(|error| named(error.error))?;
    Ok(())
}
