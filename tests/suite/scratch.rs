//! What tests audit: the text of a catalog, or a git repository with a catalog in it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use nameplate::engine::{self, Input, Options, Outcome};
use tempfile::TempDir;

/// A text in a folder that was named.
pub fn input(path: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Input {
    Input {
        path: path.into(),
        bytes: bytes.into(),
        alone: false,
        borrowed: false,
    }
}

/// A file that was named itself.
pub fn alone(path: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Input {
    Input {
        alone: true,
        ..input(path, bytes)
    }
}

/// What comes of a catalog that is one file, called `a.toml`.
pub fn audit_text(text: &str, options: &Options) -> Outcome {
    engine::audit(vec![alone("a.toml", text)], options)
}

/// Runs the program in `folder`, as a person would who pipes what it says somewhere.
pub fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("COLUMNS")
        .env("NO_COLOR", "1")
        .env("LC_ALL", "C.UTF-8")
        .output()
        .expect("runs")
}

/// The sound example, in a repository with one commit called `base`.
pub struct Scratch {
    folder: TempDir,
}

impl Scratch {
    pub fn new() -> Scratch {
        let scratch = Scratch {
            folder: tempfile::tempdir().unwrap(),
        };
        let sound = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-examples/sound");
        for entry in walkdir::WalkDir::new(&sound) {
            let entry = entry.unwrap();
            let to = scratch
                .path("list")
                .join(entry.path().strip_prefix(&sound).unwrap());
            if entry.file_type().is_dir() {
                std::fs::create_dir_all(to).unwrap();
            } else {
                std::fs::copy(entry.path(), to).unwrap();
            }
        }
        scratch.git(&["init", "--quiet", "--initial-branch=main"]);
        scratch.commit("The catalog as it is");
        scratch.git(&["tag", "base"]);
        scratch
    }

    pub fn path(&self, inside: &str) -> PathBuf {
        self.folder.path().join(inside)
    }

    pub fn git(&self, arguments: &[&str]) -> Output {
        let output = Command::new("git")
            .args([
                "-c",
                "user.name=Otter Mill",
                "-c",
                "user.email=mill@otter.example",
            ])
            .args(arguments)
            .current_dir(self.folder.path())
            // Whoever runs the tests may have settings of their own.
            .env("GIT_CONFIG_GLOBAL", "/dev/null")
            .env("GIT_CONFIG_NOSYSTEM", "1")
            .output()
            .expect("git is there");
        assert!(
            output.status.success(),
            "git {arguments:?}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        output
    }

    pub fn commit(&self, message: &str) {
        self.git(&["add", "--all"]);
        self.git(&["commit", "--quiet", "--no-verify", "-m", message]);
    }

    /// Replaces `old` by `new` in a file, where it stands exactly once or more.
    pub fn edit(&self, file: &str, old: &str, new: &str) {
        let path = self.path(file);
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains(old), "{old} isn't in {file}");
        std::fs::write(path, text.replacen(old, new, 1)).unwrap();
    }

    pub fn run(&self, arguments: &[&str]) -> Output {
        run(self.folder.path(), arguments)
    }
}
