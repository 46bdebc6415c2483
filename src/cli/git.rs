//! Files as git keeps them, at a revision or staged, through the program `git`.
//!
//! A repository may have been made to do harm, so `git` is only asked to read, without a shell, and its settings are
//! kept from running anything: nothing is fetched, by no protocol and not on demand either, and no hook, filter, pager
//! or watcher is called. What a variable of the environment says of another repository, as it does within a hook,
//! doesn't count: the repository is the one that a path lies in.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use super::Failure;
use super::files::{Shelf, absolute, is_read, most, shown, too_large};
use crate::engine::LeftOut;

/// Links that lead to links are followed so far.
const MOST_LINKS: usize = 40;

/// Variables that name another repository, or a program.
const KEPT_OUT: [&str; 14] = [
    "GIT_DIR",
    "GIT_WORK_TREE",
    "GIT_INDEX_FILE",
    "GIT_COMMON_DIR",
    "GIT_PREFIX",
    "GIT_NAMESPACE",
    "GIT_OBJECT_DIRECTORY",
    "GIT_ALTERNATE_OBJECT_DIRECTORIES",
    "GIT_EXTERNAL_DIFF",
    "GIT_PAGER",
    "GIT_SSH",
    "GIT_SSH_COMMAND",
    "GIT_PROXY_COMMAND",
    "GIT_EXEC_PATH",
];

/// Settings that could run a program, with what keeps them from it.
const HARMLESS: [&str; 7] = [
    "core.fsmonitor=false",
    "core.hooksPath=/dev/null",
    "core.attributesFile=/dev/null",
    "core.alternateRefsCommand=",
    "core.sshCommand=false",
    "core.gitProxy=",
    "protocol.allow=never",
];

/// `git` in a folder.
fn git(folder: &Path) -> Command {
    let mut git = Command::new("git");
    git.arg("--no-pager").arg("-C").arg(folder);
    for setting in HARMLESS {
        git.args(["-c", setting]);
    }
    for name in KEPT_OUT {
        git.env_remove(name);
    }
    git.env("GIT_OPTIONAL_LOCKS", "0")
        .env("GIT_NO_LAZY_FETCH", "1")
        // No protocol is allowed, also where a version before 2.44 fetches on demand.
        .env("GIT_ALLOW_PROTOCOL", "")
        .env("GIT_NO_REPLACE_OBJECTS", "1")
        .env("GIT_TERMINAL_PROMPT", "0")
        .env("GIT_ASKPASS", "false")
        .env("LC_ALL", "C")
        .stdin(Stdio::null());
    git
}

fn cannot_run(error: &std::io::Error) -> Failure {
    Failure::Revision(format!(
        "`git` can't be run, which is asked about revisions: {}",
        super::refusal(error)
    ))
}

/// What a call wrote, else what git says of it, on one line.
fn ask(mut call: Command) -> Result<Result<String, String>, Failure> {
    let output = call.output().map_err(|error| cannot_run(&error))?;
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    if output.status.success() {
        return Ok(Ok(text(&output.stdout)));
    }
    let said = text(&output.stderr);
    let words: Vec<&str> = said.split_whitespace().collect();
    Ok(Err(words
        .join(" ")
        .trim_start_matches("fatal: ")
        .to_string()))
}

fn call(folder: &Path, arguments: &[&str]) -> Result<Result<String, String>, Failure> {
    let mut call = git(folder);
    call.args(arguments);
    ask(call)
}

/// The folder itself, else the nearest one above that is there.
fn nearest(place: &Path) -> &Path {
    place
        .ancestors()
        .find(|one| one.is_dir())
        .unwrap_or(Path::new("/"))
}

/// The top folder of the repository that a path lies in.
fn top(path: &Path) -> Result<PathBuf, Failure> {
    let place = absolute(path);
    let folder = nearest(&place);
    let told = call(folder, &["rev-parse", "--show-toplevel"])?;
    let top = told.map_err(|said| {
        if said.contains("not a git repository") {
            let path = shown(path);
            let why = format!("{path} lies in no git repository, so it has no revisions");
            return Failure::Revision(why);
        }
        unwilling(path, &said)
    })?;
    let top = PathBuf::from(top.trim_end_matches(['\n', '\r']));
    let top = top.canonicalize().unwrap_or(top);
    // A setting of the repository may point anywhere.
    if !folder.starts_with(&top) {
        return Err(Failure::Revision(format!(
            "the repository that {} lies in keeps its files elsewhere, in {}",
            shown(path),
            shown(&top)
        )));
    }
    Ok(top)
}

/// The files of a folder that are under version control; none where there is no git and no repository.
///
/// # Errors
/// Git won't say, as the repository is another's: what it tracks must not be left out for that.
pub(super) fn tracked(folder: &Path) -> Result<BTreeSet<PathBuf>, Failure> {
    let list = call(folder, &["ls-files", "-z"]);
    if let Ok(Err(said)) = &list
        && said.contains("dubious ownership")
    {
        return Err(unwilling(folder, said));
    }
    let list = list.ok().and_then(Result::ok).unwrap_or_default();
    let names = list.split('\0').filter(|name| !name.is_empty());
    let seen = names.filter(|name| !is_hidden(name));
    Ok(seen.map(|name| folder.join(name)).collect())
}

/// That git won't look at a path, in its own words, which say what mends it.
fn unwilling(path: &Path, said: &str) -> Failure {
    Failure::Revision(format!("git can't look at {}: {said}", shown(path)))
}

fn is_hidden(name: &str) -> bool {
    name.split('/').any(|part| part.starts_with('.'))
}

/// That nothing that is read is missing from the folders, as it is in a sparse checkout.
///
/// # Errors
/// Something is.
pub(super) fn is_whole(paths: &[PathBuf]) -> Result<(), Failure> {
    for path in paths {
        let (place, top) = (absolute(path), top(path)?);
        let list = call(&top, &["ls-files", "-t", "-z"])?.unwrap_or_default();
        let gone = list.split('\0').filter_map(|line| line.strip_prefix("S "));
        let gone = gone.filter(|name| is_read(Path::new(name), false));
        let gone = gone.map(|name| top.join(name));
        let gone = gone.filter(|file| file.starts_with(&place) && !file.exists());
        if gone.count() > 0 {
            return Err(Failure::Revision(format!(
                "this checkout is sparse and leaves out files of {}: `git sparse-checkout disable` brings them, or \
                 judge what is staged with --staged",
                shown(path)
            )));
        }
    }
    Ok(())
}

/// Files as git keeps them.
pub(super) struct Kept {
    trees: Vec<Tree>,
}

impl Kept {
    /// As they were at a revision; `A...B` is where the two parted.
    ///
    /// # Errors
    /// `git` can't be run, a path lies in no repository, or the repository doesn't know the revision.
    pub fn at(paths: &[PathBuf], revision: &str) -> Result<Kept, Failure> {
        Kept::of(paths, |top| {
            let Some(commit) = commit(top, revision)? else {
                return Ok(Tree::new(top));
            };
            let mut tree = Tree::new(top);
            tree.take(top, "", &commit)?;
            Ok(tree)
        })
    }

    /// As they are staged.
    ///
    /// # Errors
    /// `git` can't be run, a path lies in no repository, or the index holds conflicts.
    pub fn staged(paths: &[PathBuf]) -> Result<Kept, Failure> {
        Kept::of(paths, |top| {
            let mut tree = Tree::new(top);
            tree.take_index(top)?;
            Ok(tree)
        })
    }

    fn of(
        paths: &[PathBuf],
        read: impl Fn(&Path) -> Result<Tree, Failure>,
    ) -> Result<Kept, Failure> {
        let mut trees: Vec<Tree> = Vec::new();
        for path in paths {
            let top = top(path)?;
            if trees.iter().all(|tree| tree.top != top) {
                trees.push(read(&top)?);
            }
        }
        // What lies in a repository within another is the inner one's.
        trees.sort_by_key(|tree| std::cmp::Reverse(tree.top.components().count()));
        Ok(Kept { trees })
    }

    /// The tree that a place lies in, and its path from the top.
    fn find(&mut self, place: &Path) -> Option<(&mut Tree, String)> {
        let tree = self.trees.iter_mut();
        let mut tree = tree.filter(|tree| place.starts_with(&tree.top));
        let tree = tree.next()?;
        let inside = place.strip_prefix(&tree.top).ok()?;
        let parts: Vec<_> = inside.iter().map(|part| part.to_string_lossy()).collect();
        let inside = parts.join("/");
        Some((tree, inside))
    }
}

/// A path from the root; a link at its end isn't followed, as git knows where it led.
fn place_of(path: &Path) -> PathBuf {
    match (path.parent(), path.file_name()) {
        (Some(parent), Some(name)) => absolute(parent).join(name),
        _ => absolute(path),
    }
}

impl Shelf for Kept {
    fn is_folder(&mut self, path: &Path) -> Result<bool, Failure> {
        let place = absolute(path);
        Ok(self
            .find(&place)
            .is_some_and(|(tree, inside)| tree.has_folder(&inside)))
    }

    fn may_lack(&self) -> bool {
        true
    }

    fn list(&mut self, folder: &Path, told: &mut Vec<LeftOut>) -> Result<Vec<PathBuf>, Failure> {
        let Some((tree, root)) = self.find(&absolute(folder)) else {
            return Ok(Vec::new());
        };
        let mut files = BTreeSet::new();
        for name in tree.below(&root) {
            let rest = name[root.len()..].trim_start_matches('/');
            if is_hidden(rest) {
                continue;
            }
            let path = folder.join(rest);
            let leads_to = tree.follow(&name)?;
            if leads_to.is_some_and(|to| to != name && tree.has_folder(&to)) {
                told.push(LeftOut {
                    path: shown(&path),
                    why: "a link to a folder, which isn't followed",
                });
            } else {
                files.insert(path);
            }
        }
        Ok(files.into_iter().collect())
    }

    fn resolve(&mut self, path: &Path) -> Result<Option<PathBuf>, Failure> {
        let Some((tree, inside)) = self.find(&place_of(path)) else {
            return Ok(None);
        };
        let to = tree.follow(&inside)?;
        let to = to.filter(|to| tree.entries.contains_key(to));
        Ok(to.map(|to| tree.top.join(to)))
    }

    fn bytes(&mut self, resolved: &Path, shown: &str) -> Result<Vec<u8>, Failure> {
        let unreadable = |why: String| Failure::Unreadable {
            path: shown.to_string(),
            why,
        };
        let (tree, inside) = self
            .find(resolved)
            .ok_or_else(|| unreadable("git doesn't keep it".into()))?;
        tree.bytes(&inside, shown)
    }
}

/// The commit that a revision names; nothing for the `HEAD` of a repository without any.
fn commit(top: &Path, revision: &str) -> Result<Option<String>, Failure> {
    let is_shallow = || -> Result<bool, Failure> {
        let told = call(top, &["rev-parse", "--is-shallow-repository"])?;
        Ok(told.is_ok_and(|told| told.trim() == "true"))
    };
    let one = |name: &str| -> Result<Option<String>, Failure> {
        // Such a word would be taken for an option.
        if name.is_empty() || name.starts_with('-') {
            return Ok(None);
        }
        let name = format!("{name}^{{commit}}");
        let told = call(top, &["rev-parse", "--verify", "--quiet", &name])?;
        Ok(told.ok().map(|commit| commit.trim().to_string()))
    };
    let unknown = |name: &str| -> Result<Failure, Failure> {
        let mends = match is_shallow()? {
            // A revision counted from another can't be fetched by its name.
            true if name.contains(['~', '^', '@']) => {
                "; this clone is shallow: `git fetch --unshallow origin`".to_string()
            }
            true => format!("; this clone is shallow: `git fetch origin {name}`"),
            false => String::new(),
        };
        Ok(Failure::Revision(format!(
            "the repository at {} knows no revision `{name}`{mends}",
            top.display()
        )))
    };
    let Some((a, b)) = revision.split_once("...") else {
        let found = one(revision)?;
        let is_unborn = || -> Result<bool, Failure> {
            let any = call(top, &["rev-list", "--all", "--max-count=1"])?;
            Ok(any.is_ok_and(|any| any.trim().is_empty()))
        };
        return match found {
            None if revision == "HEAD" && is_unborn()? => Ok(None),
            None => Err(unknown(revision)?),
            found => Ok(found),
        };
    };
    let side = |name: &str| match name {
        "" => "HEAD".to_string(),
        name => name.to_string(),
    };
    let (a, b) = (side(a), side(b));
    let from = one(&a)?.ok_or(()).or_else(|()| Err(unknown(&a)?))?;
    let to = one(&b)?.ok_or(()).or_else(|()| Err(unknown(&b)?))?;
    let base = call(top, &["merge-base", &from, &to])?;
    match base {
        Ok(base) => Ok(Some(base.trim().to_string())),
        Err(_) if is_shallow()? => Err(Failure::Revision(format!(
            "where `{a}` and `{b}` parted isn't in this clone, which is shallow: `git fetch --unshallow origin`"
        ))),
        Err(_) => Err(Failure::Revision(format!(
            "`{a}` and `{b}` have no commit in common"
        ))),
    }
}

/// A file or link in a tree.
struct Entry {
    is_link: bool,
    id: String,
    /// Which of the repositories keeps it.
    repository: usize,
}

/// The files of a repository, those of its submodules among them.
struct Tree {
    top: PathBuf,
    /// By the path from the top.
    entries: BTreeMap<String, Entry>,
    repositories: Vec<Blobs>,
}

impl Tree {
    fn new(top: &Path) -> Tree {
        Tree {
            top: top.to_path_buf(),
            entries: BTreeMap::new(),
            repositories: Vec::new(),
        }
    }

    /// Takes the files of a commit of the repository at `top`, which is called `prefix` here.
    fn take(&mut self, top: &Path, prefix: &str, commit: &str) -> Result<(), Failure> {
        let list = call(top, &["ls-tree", "-r", "-z", "--full-tree", commit])?;
        let list = list.map_err(|said| lacking(top, prefix, &said))?;
        // `MODE TYPE ID\tPATH`.
        let rows = list.split('\0').filter_map(|line| {
            let (head, path) = line.split_once('\t')?;
            let mut words = head.split(' ');
            Some((words.next()?, words.nth(1)?, path))
        });
        self.put(top, prefix, rows)
    }

    /// Takes what is staged in the repository at `top`.
    fn take_index(&mut self, top: &Path) -> Result<(), Failure> {
        let mut call = git(top);
        call.args(["ls-files", "--stage", "-z"]);
        if let Some(index) = own_index(top)? {
            call.env("GIT_INDEX_FILE", index);
        }
        let list = ask(call)?
            .map_err(|said| Failure::Revision(format!("git can't read what is staged: {said}")))?;
        // `MODE ID STAGE\tPATH`.
        let rows: Vec<(&str, &str, &str, &str)> = list
            .split('\0')
            .filter_map(|line| {
                let (head, path) = line.split_once('\t')?;
                let mut words = head.split(' ');
                Some((words.next()?, words.next()?, words.next()?, path))
            })
            .collect();
        if let Some((.., path)) = rows.iter().find(|(_, _, stage, _)| *stage != "0") {
            return Err(Failure::Revision(format!(
                "what is staged holds a conflict in {path}: settle it, then `git add {path}`"
            )));
        }
        let rows = rows.into_iter().map(|(mode, id, _, path)| (mode, id, path));
        self.put(top, "", rows)
    }

    fn put<'r>(
        &mut self,
        top: &Path,
        prefix: &str,
        rows: impl Iterator<Item = (&'r str, &'r str, &'r str)>,
    ) -> Result<(), Failure> {
        let repository = self.repositories.len();
        self.repositories.push(Blobs::of(top));
        for (mode, id, path) in rows {
            let name = match prefix {
                "" => path.to_string(),
                prefix => format!("{prefix}/{path}"),
            };
            let inner = top.join(path);
            if mode == "160000" {
                // A submodule that isn't there now has nothing to be held against either.
                if inner.join(".git").exists() && self::top(&inner)? == inner {
                    self.take(&inner, &name, id)?;
                }
                continue;
            }
            self.entries.insert(
                name,
                Entry {
                    is_link: mode == "120000",
                    id: id.to_string(),
                    repository,
                },
            );
        }
        Ok(())
    }

    /// The files below a folder.
    fn below(&self, folder: &str) -> Vec<String> {
        let start = match folder {
            "" => String::new(),
            folder => format!("{folder}/"),
        };
        let names = self.entries.range(start.clone()..).map(|(name, _)| name);
        names
            .take_while(|name| name.starts_with(&start))
            .cloned()
            .collect()
    }

    fn has_folder(&self, folder: &str) -> bool {
        if folder.is_empty() {
            return true;
        }
        let start = format!("{folder}/");
        let mut after = self.entries.range(start.clone()..);
        after
            .next()
            .is_some_and(|(name, _)| name.starts_with(&start))
    }

    /// Where a path leads, links at its end followed; nothing where it leads out of the tree.
    fn follow(&mut self, name: &str) -> Result<Option<String>, Failure> {
        let mut name = name.to_string();
        for _ in 0..MOST_LINKS {
            if !self.entries.get(&name).is_some_and(|entry| entry.is_link) {
                return Ok(Some(name));
            }
            let to = self.bytes(&name, &name)?;
            let to = String::from_utf8_lossy(&to).into_owned();
            if to.starts_with('/') {
                return Ok(None);
            }
            let mut parts: Vec<&str> = name.split('/').collect();
            parts.pop();
            for part in to.split('/') {
                match part {
                    "" | "." => {}
                    ".." if parts.pop().is_none() => return Ok(None),
                    ".." => {}
                    part => parts.push(part),
                }
            }
            name = parts.join("/");
        }
        Ok(None)
    }

    fn bytes(&mut self, name: &str, shown: &str) -> Result<Vec<u8>, Failure> {
        let entry = self.entries.get(name);
        let entry = entry.ok_or_else(|| Failure::Unreadable {
            path: shown.to_string(),
            why: "git doesn't keep it".into(),
        })?;
        self.repositories[entry.repository].get(&entry.id, shown)
    }
}

/// The index that a hook was given, if it is one of the repository at `top`.
fn own_index(top: &Path) -> Result<Option<PathBuf>, Failure> {
    let Some(named) = std::env::var_os("GIT_INDEX_FILE") else {
        return Ok(None);
    };
    let own = call(top, &["rev-parse", "--absolute-git-dir"])?.unwrap_or_default();
    let own = PathBuf::from(own.trim_end_matches(['\n', '\r']));
    let index = top.join(named);
    let folder = index.parent().and_then(|folder| folder.canonicalize().ok());
    let is_own =
        index.is_file() && folder.is_some_and(|folder| Some(folder) == own.canonicalize().ok());
    Ok(is_own.then_some(index))
}

/// That a repository hasn't got what it was asked for.
fn lacking(top: &Path, prefix: &str, said: &str) -> Failure {
    Failure::Revision(match prefix {
        "" => format!("git can't list the files of {}: {said}", top.display()),
        prefix => format!(
            "the submodule {prefix} lacks a commit that is asked for: `git submodule update --init {prefix}` ({said})"
        ),
    })
}

/// The texts that a repository keeps, by their numbers.
struct Blobs {
    top: PathBuf,
    talk: Option<(Child, ChildStdin, BufReader<ChildStdout>)>,
}

impl Blobs {
    fn of(top: &Path) -> Blobs {
        Blobs {
            top: top.to_path_buf(),
            talk: None,
        }
    }

    fn get(&mut self, id: &str, shown: &str) -> Result<Vec<u8>, Failure> {
        let answer = self.answer(id).map_err(|error| cannot_run(&error))?;
        match answer {
            Answer::Text(bytes) => Ok(bytes),
            Answer::Missing => Err(Failure::Revision(format!(
                "git hasn't got {shown} as it was: this clone is partial or damaged; `git fetch --refetch --no-filter \
                 origin` brings what it left out"
            ))),
            Answer::TooLarge => Err(Failure::Unreadable {
                path: shown.to_string(),
                why: too_large(),
            }),
        }
    }

    /// Asked one at a time, so that neither side waits for the other to empty its pipe.
    fn answer(&mut self, id: &str) -> std::io::Result<Answer> {
        if self.talk.is_none() {
            let mut call = git(&self.top);
            call.args(["cat-file", "--batch"])
                .stdin(Stdio::piped())
                .stdout(Stdio::piped())
                .stderr(Stdio::null());
            let mut child = call.spawn()?;
            if let (Some(asks), Some(answers)) = (child.stdin.take(), child.stdout.take()) {
                self.talk = Some((child, asks, BufReader::new(answers)));
            }
        }
        let Some((_, asks, answers)) = &mut self.talk else {
            return Ok(Answer::Missing);
        };
        writeln!(asks, "{id}")?;
        asks.flush()?;
        let mut head = String::new();
        answers.read_line(&mut head)?;
        // `ID TYPE SIZE`, else `ID missing`.
        let size = head.trim_end().split(' ').nth(2);
        let Some(size) = size.and_then(|size| size.parse::<u64>().ok()) else {
            return Ok(Answer::Missing);
        };
        let mut bytes = Vec::new();
        let is_too_large = size > most();
        if is_too_large {
            std::io::copy(&mut answers.by_ref().take(size), &mut std::io::sink())?;
        } else {
            answers.by_ref().take(size).read_to_end(&mut bytes)?;
        }
        answers.read_exact(&mut [0])?;
        Ok(match is_too_large {
            true => Answer::TooLarge,
            false => Answer::Text(bytes),
        })
    }
}

enum Answer {
    Text(Vec<u8>),
    Missing,
    TooLarge,
}

impl Drop for Blobs {
    fn drop(&mut self) {
        if let Some((mut child, asks, answers)) = self.talk.take() {
            drop((asks, answers));
            let _ = child.wait();
        }
    }
}
