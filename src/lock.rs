//! A file that several people add to: one writer at a time, and its new text put in its place whole or not at all.
//!
//! The lock lies beside the file and is held until it is dropped. Whoever is stopped at any point leaves the old text or the new
//! one, never half of either.

use std::fs::{File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// A lock on a file, held until it is dropped: `.NAME.lock` beside it.
#[derive(Debug)]
pub struct Lock {
    _file: File,
    path: PathBuf,
}

impl Lock {
    /// Waits until nobody else holds it.
    ///
    /// # Errors
    /// What the file system says.
    pub fn of(file: &Path) -> io::Result<Self> {
        // Through a link, the file it leads to is the one to keep others from.
        let path = file.canonicalize().unwrap_or_else(|_| file.to_owned());
        let file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(beside(&path, "lock"))?;
        file.lock()?;
        Ok(Self { _file: file, path })
    }

    /// The file, after links.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Puts a text in the place of the file, whole or not at all.
    ///
    /// # Errors
    /// What the file system says.
    pub fn replace(&self, text: &str) -> io::Result<()> {
        let new = beside(&self.path, "new");
        let mut file = File::create(&new)?;
        file.write_all(text.as_bytes())?;
        if let Ok(old) = std::fs::metadata(&self.path) {
            file.set_permissions(old.permissions())?;
        }
        file.sync_all()?;
        drop(file);
        std::fs::rename(&new, &self.path)?;
        // The move itself is on disk only once the folder is.
        #[cfg(unix)]
        if let Some(folder) = self.path.parent().filter(|it| !it.as_os_str().is_empty()) {
            File::open(folder)?.sync_all()?;
        }
        Ok(())
    }
}

/// A hidden file beside another: `.NAME.END`.
fn beside(path: &Path, end: &str) -> PathBuf {
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    path.with_file_name(format!(".{name}.{end}"))
}
