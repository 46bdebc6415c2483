//! Writing what was asked for.

use std::io::{IsTerminal, Write};
use std::path::Path;

use super::{Failure, refusal};

/// Writes `text` to standard output. A reader that has seen enough is no failure.
///
/// # Errors
/// Standard output can't be written.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        Err(error) => Err(Failure::Unwritable {
            path: "standard output".into(),
            why: refusal(&error),
        }),
        Ok(()) => Ok(()),
    }
}

/// Says how long it took, on a terminal only: no report holds it, so that reports can be compared.
pub fn elapsed(time: std::time::Duration) {
    let mut stderr = std::io::stderr();
    if stderr.is_terminal() {
        // Whoever can't be told can't be helped.
        let _ = writeln!(stderr, "It took {:.2} s.", time.as_secs_f64());
    }
}

/// Writes `text` to the file at `path`, whole or not at all.
///
/// # Errors
/// The file or its folder can't be written.
pub fn write(path: &Path, text: &str) -> Result<(), Failure> {
    let failure = |error: std::io::Error| Failure::Unwritable {
        path: path.display().to_string(),
        why: match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such folder".into(),
            _ => refusal(&error),
        },
    };
    // A link is followed: what it points to is written, and the link stays.
    let target = path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
    // A pipe or a device can't be put in place of itself.
    if target.exists() && !target.is_file() {
        return std::fs::write(&target, text).map_err(failure);
    }
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut file = tempfile::NamedTempFile::new_in(folder).map_err(failure)?;
    file.write_all(text.as_bytes()).map_err(failure)?;
    let permissions = match std::fs::metadata(&target) {
        Ok(old) => Some(old.permissions()),
        Err(_) => usual_permissions(),
    };
    if let Some(permissions) = permissions {
        file.as_file()
            .set_permissions(permissions)
            .map_err(failure)?;
    }
    file.as_file().sync_all().map_err(failure)?;
    file.persist(&target)
        .map_err(|error| failure(error.error))?;
    Ok(())
}

/// What a new file is given: readable for all, as reports are.
#[cfg(unix)]
fn usual_permissions() -> Option<std::fs::Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn usual_permissions() -> Option<std::fs::Permissions> {
    None
}
