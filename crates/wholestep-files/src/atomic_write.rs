//! Writing a file whole or not at all.

use crate::messages;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use wholestep::error::Result;

/// What to do if a file of that name is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Existing {
    /// Leave it as it is and refuse.
    Keep,
    /// Put the new text in its place.
    Replace,
}

/// Writes `text` to the file at `path`, whole or not at all.
///
/// The text goes to a temporary file in the same folder, is synced to the disk, and then takes the
/// name in one step: a reader, or a power loss, meets the old file or the new one and never a part.
///
/// # Errors
/// [`ErrorKind::File`](wholestep::ErrorKind::File) if a file is there and is to be kept, or where the folder cannot be
/// written to.
///
/// ```
/// use wholestep_files::{Existing, write_whole};
/// # let folder = tempfile::tempdir().unwrap();
/// # let path = folder.path().join("lift.toml");
/// write_whole(&path, "version = 1\n", Existing::Keep)?;
/// assert!(write_whole(&path, "version = 2\n", Existing::Keep).is_err());
/// assert_eq!(std::fs::read_to_string(&path).unwrap(), "version = 1\n");
/// # Ok::<(), wholestep::Error>(())
/// ```
pub fn write_whole(path: impl AsRef<Path>, text: &str, existing: Existing) -> Result<()> {
    let path = path.as_ref();
    write(path, text, existing).map_err(|error| {
        let error = match error.kind() {
            io::ErrorKind::AlreadyExists => messages::FILE_EXISTS.error(),
            _ => messages::UNWRITABLE_FILE.error().advice(error.to_string()),
        };
        error.in_file(&path.display().to_string())
    })
}

fn write(path: &Path, text: &str, existing: Existing) -> io::Result<()> {
    // A link stays a link: what it points to is replaced.
    let target = if existing == Existing::Replace { resolved(path)? } else { path.to_path_buf() };
    let folder = match target.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let mut file = new_file(folder)?;
    file.write_all(text.as_bytes())?;
    if let Ok(replaced) = fs::metadata(&target) {
        file.as_file().set_permissions(replaced.permissions())?;
    }
    file.as_file().sync_all()?;
    match existing {
        Existing::Keep => file.persist_noclobber(&target),
        Existing::Replace => file.persist(&target),
    }
    .map_err(|failed| failed.error)?;
    sync_folder(folder)
}

fn resolved(path: &Path) -> io::Result<PathBuf> {
    match fs::canonicalize(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(path.to_path_buf()),
        resolved => resolved,
    }
}

/// A temporary file with the permissions that the system gives to a new one.
#[cfg(unix)]
fn new_file(folder: &Path) -> io::Result<NamedTempFile> {
    use std::os::unix::fs::PermissionsExt;
    tempfile::Builder::new().permissions(fs::Permissions::from_mode(0o666)).tempfile_in(folder)
}

#[cfg(not(unix))]
fn new_file(folder: &Path) -> io::Result<NamedTempFile> {
    NamedTempFile::new_in(folder)
}

#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    fs::File::open(folder)?.sync_all()
}

/// Elsewhere a folder cannot be opened to sync it.
#[cfg(not(unix))]
fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}
