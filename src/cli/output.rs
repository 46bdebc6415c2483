//! Writing what was asked for.

use std::collections::HashSet;
use std::io::{IsTerminal, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use super::files::place;
use super::{Failure, refusal};

/// Writes `text` to standard output. A reader that has seen enough is no failure.
///
/// # Errors
/// Standard output can't be written.
pub fn print(text: &str) -> Result<(), Failure> {
    print_bytes(text.as_bytes())
}

/// Writes `bytes` to standard output as they are.
///
/// # Errors
/// Standard output can't be written.
pub fn print_bytes(bytes: &[u8]) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        Err(error) => Err(unwritten(&error)),
        Ok(()) => Ok(()),
    }
}

/// That standard output can't be written.
pub fn unwritten(error: &std::io::Error) -> Failure {
    Failure::Unwritable {
        path: "standard output".into(),
        why: refusal(error),
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

/// Tells something beside the report.
pub fn tell(sentence: &str) {
    // Whoever can't be told can't be helped.
    let sentence = crate::report::terminal::safe(sentence);
    let _ = writeln!(std::io::stderr(), "nameplate: {sentence}");
}

/// Tells several lines beside the report.
pub fn tell_lines(text: &str) {
    let _ = std::io::stderr().write_all(text.as_bytes());
}

/// That none of the files to be written is another of them, or one of those that are read.
///
/// # Errors
/// One is, under whatever name.
pub fn spare(written: &[&Path], read: impl Iterator<Item = PathBuf>) -> Result<(), Failure> {
    let mut known: HashSet<PathBuf> = HashSet::new();
    if !written.is_empty() {
        known.extend(read.map(|path| place(&path)));
    }
    for path in written {
        if !known.insert(place(path)) {
            return Err(Failure::Unwritable {
                path: path.display().to_string(),
                why: "what is written there would take the place of something else that this run reads or writes".into(),
            });
        }
    }
    Ok(())
}

/// Writes `text` to the file at `path`, whole or not at all.
///
/// # Errors
/// The file or its folder can't be written.
pub fn write(path: &Path, text: &str) -> Result<(), Failure> {
    put(path, text.as_bytes(), None)
}

/// The same for `bytes`.
///
/// # Errors
/// The file or its folder can't be written.
pub fn write_bytes(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    put(path, bytes, None)
}

/// The folder beside a report's index in which its pages lie.
pub fn pages_of(index: &Path) -> PathBuf {
    let stem = index.file_stem().unwrap_or_default().to_string_lossy();
    index.with_file_name(format!("{stem}-pages"))
}

/// That nothing but pages of earlier reports lies in a folder, or that there is none.
///
/// # Errors
/// Something else does, which nobody meant to lose.
pub fn only_pages(folder: &Path) -> Result<(), Failure> {
    let refused = |why: &str| {
        Err(Failure::Unwritable {
            path: folder.display().to_string(),
            why: why.into(),
        })
    };
    if folder.is_symlink() || folder.exists() && !folder.is_dir() {
        return refused("the report's pages go there, and it is no folder");
    }
    let inside = std::fs::read_dir(folder).into_iter().flatten();
    for file in inside.flatten() {
        if !is_own_report(&file.path(), LOOKED_AT) {
            return refused("the report's pages go there, and it holds something else");
        }
    }
    Ok(())
}

/// Whether a file is a report of this program, by what stands in it up to `most` bytes.
pub fn is_own_report(path: &Path, most: u64) -> bool {
    let mut start = Vec::new();
    if !path.is_file() || path.is_symlink() {
        return false;
    }
    let file = std::fs::File::open(path).map(|file| file.take(most));
    let is_read = file.is_ok_and(|mut file| file.read_to_end(&mut start).is_ok());
    is_read && crate::report::is_own(&path.to_string_lossy(), &start)
}

/// How much of a page is looked at to know it for one.
const LOOKED_AT: u64 = 4096;

/// Writes many pages into a folder: all of them, or none and what was there stays.
///
/// # Errors
/// The folder can't be written.
pub fn write_pages(
    folder: &Path,
    count: usize,
    page: impl Fn(usize) -> Option<(String, String)> + Sync + Send,
) -> Result<(), Failure> {
    use rayon::prelude::*;
    let failure = |error: std::io::Error| Failure::Unwritable {
        path: folder.display().to_string(),
        why: match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such folder".into(),
            _ => refusal(&error),
        },
    };
    let around = match folder.parent() {
        Some(around) if !around.as_os_str().is_empty() => around,
        _ => Path::new("."),
    };
    let made = tempfile::TempDir::new_in(around).map_err(failure)?;
    let new = made.path().join("new");
    std::fs::create_dir(&new).map_err(failure)?;
    let pages = (0..count).into_par_iter().filter_map(page);
    pages
        .try_for_each(|(name, text)| std::fs::write(new.join(name), text))
        .map_err(failure)?;
    // What was there goes as a whole, and comes back if the new pages can't take its place.
    let old = made.path().join("old");
    let had = folder.exists();
    if had {
        std::fs::rename(folder, &old).map_err(failure)?;
    }
    if let Err(error) = std::fs::rename(&new, folder) {
        if had {
            let _ = std::fs::rename(&old, folder);
        }
        return Err(failure(error));
    }
    Ok(())
}

/// Writes `bytes` in place of `before` at `path`, whole or not at all, with the permissions it has.
///
/// # Errors
/// The file or its folder can't be written, the file is marked as read-only, or it no longer holds `before`:
/// somebody else has written to it meanwhile.
pub fn replace(path: &Path, before: &[u8], bytes: &[u8]) -> Result<(), Failure> {
    put(path, bytes, Some(before))
}

/// A file to be written: in place of `before`, or new.
pub struct Planned<'p> {
    /// Where.
    pub path: &'p Path,
    /// What is there.
    pub before: Option<&'p [u8]>,
    /// What is to be there.
    pub after: &'p [u8],
}

/// Writes several files, all of them or none: each is written beside its place first, and those that have taken their
/// places go back if another can't.
///
/// # Errors
/// One of them can't be written, or isn't what it was any more.
pub fn put_all(planned: &[Planned]) -> Result<(), Failure> {
    put_all_in_steps(planned, &mut |_| Ok(()))
}

fn put_all_in_steps(
    planned: &[Planned],
    may: &mut dyn FnMut(Step) -> std::io::Result<()>,
) -> Result<(), Failure> {
    let mut staged = Vec::new();
    for one in planned {
        let failure = |error: std::io::Error| Failure::Unwritable {
            path: one.path.display().to_string(),
            why: refusal(&error),
        };
        let target = one
            .path
            .canonicalize()
            .unwrap_or_else(|_| one.path.to_path_buf());
        let folder = parent(&target);
        let permissions = match std::fs::metadata(&target) {
            Ok(old) if old.permissions().readonly() => {
                return Err(Failure::Unwritable {
                    path: one.path.display().to_string(),
                    why: "it is marked as read-only".into(),
                });
            }
            Ok(old) => Some(old.permissions()),
            Err(_) => usual_permissions(),
        };
        std::fs::create_dir_all(folder).map_err(failure)?;
        sweep(folder);
        staged.push((
            beside(folder, one.after, permissions, may).map_err(failure)?,
            target,
        ));
    }
    let mut done: Vec<(&Planned, PathBuf)> = Vec::new();
    for ((file, target), one) in staged.into_iter().zip(planned) {
        if let Err(why) = take_place(file, &target, one, may) {
            for (earlier, target) in done.into_iter().rev() {
                // What can't be put back is what the next run finds, and it goes on from there.
                let _ = match earlier.before {
                    Some(before) => std::fs::write(&target, before),
                    None => std::fs::remove_file(&target),
                };
            }
            return Err(Failure::Unwritable {
                path: one.path.display().to_string(),
                why,
            });
        }
        done.push((one, target));
    }
    Ok(())
}

/// Puts a written file to its place, if what is there is what it was.
fn take_place(
    file: tempfile::NamedTempFile,
    target: &Path,
    planned: &Planned,
    may: &mut dyn FnMut(Step) -> std::io::Result<()>,
) -> Result<(), String> {
    may(Step::Read).map_err(|error| refusal(&error))?;
    let there = std::fs::read(target).ok();
    if there.as_deref() != planned.before {
        return Err("it has changed since it was read, so nothing was written".into());
    }
    may(Step::Rename).map_err(|error| refusal(&error))?;
    file.persist(target)
        .map_err(|error| refusal(&error.error))?;
    Ok(())
}

fn put(path: &Path, bytes: &[u8], before: Option<&[u8]>) -> Result<(), Failure> {
    put_in_steps(path, bytes, before, &mut |_| Ok(()))
}

/// What is done to write a file, one after another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    Create,
    Write,
    Permit,
    Sync,
    Read,
    Rename,
}

/// Asks `may` before each step, so that tests can let each of them fail, or end the program there.
fn put_in_steps(
    path: &Path,
    bytes: &[u8],
    before: Option<&[u8]>,
    may: &mut dyn FnMut(Step) -> std::io::Result<()>,
) -> Result<(), Failure> {
    let refused = |why: String| Failure::Unwritable {
        path: path.display().to_string(),
        why,
    };
    let failure = |error: std::io::Error| {
        refused(match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such folder".into(),
            _ => refusal(&error),
        })
    };
    if path.is_symlink() && !path.exists() {
        return Err(refused("it is a link that leads nowhere".into()));
    }
    // A link is followed: what it points to is written, and the link stays.
    let target = path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
    // A pipe or a device can't be put in place of itself.
    if before.is_none() && target.exists() && !target.is_file() {
        return std::fs::write(&target, bytes).map_err(failure);
    }
    let folder = parent(&target);
    let permissions = match std::fs::metadata(&target) {
        Ok(old) => Some(old.permissions()),
        Err(_) => usual_permissions(),
    };
    // The folder would let it be replaced all the same; but whoever marked it doesn't want that.
    if permissions
        .as_ref()
        .is_some_and(std::fs::Permissions::readonly)
    {
        return Err(refused("it is marked as read-only".into()));
    }
    sweep(folder);
    let file = beside(folder, bytes, permissions, may).map_err(failure)?;
    // Looked at as late as can be: what somebody saved while this ran must not be lost.
    if let Some(before) = before
        && may(Step::Read)
            .and_then(|()| std::fs::read(&target))
            .map_err(failure)?
            != before
    {
        return Err(refused(
            "it has changed since it was read, so nothing was written to it".into(),
        ));
    }
    may(Step::Rename)
        .and_then(|()| file.persist(&target).map_err(|error| error.error))
        .map_err(failure)?;
    Ok(())
}

/// A file in `folder` that holds `bytes` and has no name yet.
fn beside(
    folder: &Path,
    bytes: &[u8],
    permissions: Option<std::fs::Permissions>,
    may: &mut dyn FnMut(Step) -> std::io::Result<()>,
) -> std::io::Result<tempfile::NamedTempFile> {
    may(Step::Create)?;
    let mut file = tempfile::Builder::new()
        .prefix(BEGUN.0)
        .suffix(BEGUN.1)
        .tempfile_in(folder)?;
    // Held as long as it is written, so that no other run takes it for left over.
    let _ = file.as_file().try_lock();
    may(Step::Write)?;
    file.write_all(bytes)?;
    if let Some(permissions) = permissions {
        may(Step::Permit)?;
        file.as_file().set_permissions(permissions)?;
    }
    may(Step::Sync)?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// The folder in which something called `path` is to be made.
fn parent(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// That `path` can't be made in its folder.
fn unmade(path: &Path, error: &std::io::Error) -> Failure {
    Failure::Unwritable {
        path: path.display().to_string(),
        why: match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such folder".into(),
            std::io::ErrorKind::AlreadyExists | std::io::ErrorKind::DirectoryNotEmpty => {
                "it is there already, and nothing is overwritten".into()
            }
            _ => refusal(error),
        },
    }
}

/// Writes `text` to a new file at `path`, whole or not at all.
///
/// # Errors
/// Something is there already, or the folder can't be written to.
pub fn create(path: &Path, text: &str) -> Result<(), Failure> {
    let failure = |error: std::io::Error| unmade(path, &error);
    let (folder, may) = (parent(path), &mut |_| Ok(()));
    let file = beside(folder, text.as_bytes(), usual_permissions(), may).map_err(failure)?;
    file.persist_noclobber(path)
        .map_err(|error| failure(error.error))?;
    Ok(())
}

/// Makes the folder `path` with `files` in it, all of them or nothing.
///
/// # Errors
/// Something is there already, or its place can't be written to.
pub fn create_folder(path: &Path, files: &[(String, String)]) -> Result<(), Failure> {
    let failure = |error: std::io::Error| unmade(path, &error);
    // A name that leads nowhere is taken too.
    if path.symlink_metadata().is_ok() {
        return Err(failure(std::io::ErrorKind::AlreadyExists.into()));
    }
    let mut making = tempfile::Builder::new();
    making.prefix(".nameplate-");
    let permissions = usual_folder_permissions();
    if let Some(permissions) = &permissions {
        making.permissions(permissions.clone());
    }
    let folder = making.tempdir_in(parent(path)).map_err(failure)?;
    for (name, text) in files {
        create(&folder.path().join(name), text)?;
    }
    std::fs::rename(folder.path(), path).map_err(failure)?;
    // It has its name now, so there is nothing left to clear away.
    let _ = folder.keep();
    Ok(())
}

/// What a new folder is given, less what the process's mask takes.
#[cfg(unix)]
fn usual_folder_permissions() -> Option<std::fs::Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(std::fs::Permissions::from_mode(0o777))
}

#[cfg(not(unix))]
fn usual_folder_permissions() -> Option<std::fs::Permissions> {
    None
}

/// How the name of a file begins and ends that is written beside the one whose place it takes.
const BEGUN: (&str, &str) = (".nameplate-", ".tmp");

/// Younger than this one may not be held yet.
const YOUNG: std::time::Duration = std::time::Duration::from_secs(60);

/// Takes away what runs that were killed in the middle of writing have left in a folder; once for each.
fn sweep(folder: &Path) {
    static SWEPT: Mutex<Option<HashSet<PathBuf>>> = Mutex::new(None);
    let is_new = SWEPT.lock().is_ok_and(|mut swept| {
        let swept = swept.get_or_insert_default();
        swept.insert(folder.to_path_buf())
    });
    // What can't be looked at or taken away stays, and harms nobody.
    let Some(entries) = std::fs::read_dir(folder).ok().filter(|_| is_new) else {
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with(BEGUN.0) && name.ends_with(BEGUN.1) && is_left(&entry) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Whether nobody writes to a file any more.
fn is_left(entry: &std::fs::DirEntry) -> bool {
    let is_old = entry.metadata().is_ok_and(|data| {
        let age = data.modified().ok().and_then(|at| at.elapsed().ok());
        data.is_file() && age.is_some_and(|age| age > YOUNG)
    });
    let file = is_old.then(|| std::fs::File::open(entry.path()).ok());
    file.flatten().is_some_and(|file| file.try_lock().is_ok())
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

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that panics has failed")]
mod tests {
    use super::*;

    #[test]
    fn what_somebody_saved_meanwhile_is_not_lost() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        std::fs::write(&path, "theirs").unwrap();
        let refused = replace(&path, b"read", b"mine").unwrap_err().to_string();
        assert!(
            refused.contains("has changed since it was read"),
            "{refused}"
        );
        assert_eq!(std::fs::read(&path).unwrap(), b"theirs");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
        replace(&path, b"theirs", b"mine").unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), b"mine");
    }

    const STEPS: [Step; 6] = [
        Step::Create,
        Step::Write,
        Step::Permit,
        Step::Sync,
        Step::Read,
        Step::Rename,
    ];

    #[test]
    fn whichever_step_fails_the_file_stays_and_nothing_is_left_beside_it() {
        for failing in STEPS {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("a.toml");
            std::fs::write(&path, "old").unwrap();
            let mut asked = Vec::new();
            let refused = put_in_steps(&path, b"new", Some(b"old"), &mut |step| {
                asked.push(step);
                match step == failing {
                    true => Err(std::io::ErrorKind::StorageFull.into()),
                    false => Ok(()),
                }
            });
            let refused = refused.unwrap_err().to_string();
            let said = format!("{} can't be written: there is no room left", path.display());
            assert_eq!(refused, said, "{failing:?}");
            assert_eq!(asked.last(), Some(&failing));
            assert_eq!(std::fs::read(&path).unwrap(), b"old");
            assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
        }
    }

    /// Which step ends the program, and the file that it would write: for the test below, which starts this one.
    const KILLED: &str = "NAMEPLATE_TEST_KILLED_AT";

    #[test]
    #[ignore = "ends the program that runs it: the next test starts it"]
    fn killed_at_a_step() {
        let told = std::env::var(KILLED).unwrap();
        let (number, path) = told.split_once(' ').unwrap();
        let fatal = STEPS[number.parse::<usize>().unwrap()];
        let ended = put_in_steps(
            Path::new(path),
            b"new",
            Some(b"old"),
            &mut |step| match step == fatal {
                true => std::process::abort(),
                false => Ok(()),
            },
        );
        panic!("it wasn't ended: {ended:?}");
    }

    #[test]
    fn whichever_step_the_program_ends_at_the_file_is_old_and_the_next_run_sweeps() {
        for number in 0..STEPS.len() {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("a.toml");
            std::fs::write(&path, "old").unwrap();
            let ended = std::process::Command::new(std::env::current_exe().unwrap())
                .args([
                    "--exact",
                    "--ignored",
                    "cli::output::tests::killed_at_a_step",
                ])
                .env(KILLED, format!("{number} {}", path.display()))
                .output()
                .unwrap();
            assert_eq!(ended.status.code(), None, "{ended:?}");
            assert_eq!(std::fs::read(&path).unwrap(), b"old");
            let left = std::fs::read_dir(folder.path()).unwrap().flatten();
            let left: Vec<_> = left.filter(|one| one.path() != path).collect();
            assert_eq!(left.len(), usize::from(number > 0), "step {number}");
            for one in &left {
                // It is old enough to be nobody's.
                let hour = std::time::SystemTime::now() - 60 * YOUNG;
                let file = std::fs::File::options().write(true).open(one.path());
                file.unwrap().set_modified(hour).unwrap();
            }
            replace(&path, b"old", b"new").unwrap();
            assert_eq!(std::fs::read(&path).unwrap(), b"new");
            assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
        }
    }

    #[test]
    fn several_files_are_written_all_or_none_whichever_step_fails() {
        // Three files of four steps beside their places and two to take them.
        for failing in 0..18 {
            let folder = tempfile::tempdir().unwrap();
            let paths = ["a.toml", "b.toml", "c.toml"].map(|name| folder.path().join(name));
            std::fs::write(&paths[0], "old").unwrap();
            std::fs::write(&paths[1], "old").unwrap();
            let planned: Vec<Planned> = paths
                .iter()
                .enumerate()
                .map(|(number, path)| Planned {
                    path,
                    before: (number < 2).then_some(b"old"),
                    after: b"new",
                })
                .collect();
            let mut asked = 0;
            let written = put_all_in_steps(&planned, &mut |_| {
                asked += 1;
                match asked == failing + 1 {
                    true => Err(std::io::ErrorKind::StorageFull.into()),
                    false => Ok(()),
                }
            });
            assert!(written.is_err(), "{failing}");
            assert_eq!(std::fs::read(&paths[0]).unwrap(), b"old");
            assert_eq!(std::fs::read(&paths[1]).unwrap(), b"old");
            assert_eq!(
                std::fs::read_dir(folder.path()).unwrap().count(),
                2,
                "{failing}"
            );
        }
    }

    #[test]
    fn what_is_being_written_or_is_not_ours_is_not_swept() {
        let folder = tempfile::tempdir().unwrap();
        let hour = std::time::SystemTime::now() - 60 * YOUNG;
        let file = |name: &str, age: Option<std::time::SystemTime>| {
            let file = std::fs::File::create(folder.path().join(name)).unwrap();
            age.into_iter()
                .for_each(|at| file.set_modified(at).unwrap());
            file
        };
        let held = file(".nameplate-held.tmp", Some(hour));
        held.lock().unwrap();
        file(".nameplate-young.tmp", None);
        file(".nameplate-other", Some(hour));
        file("nameplate-mine.tmp", Some(hour));
        file(".nameplate-left.tmp", Some(hour));
        sweep(folder.path());
        let names = std::fs::read_dir(folder.path()).unwrap().flatten();
        let mut names: Vec<_> = names
            .map(|one| one.file_name().into_string().unwrap())
            .collect();
        names.sort();
        assert_eq!(
            names,
            [
                ".nameplate-held.tmp",
                ".nameplate-other",
                ".nameplate-young.tmp",
                "nameplate-mine.tmp"
            ]
        );
    }

    #[test]
    fn a_file_that_is_gone_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        assert!(replace(&path, b"read", b"mine").is_err());
        assert!(!path.exists());
    }
}
