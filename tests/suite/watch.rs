//! `audit --watch`: a real program on real files. Waits are generous, and nothing is timed.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

const HEAD: &str = "[catalog]\nformat = 1\ntitle = \"Otter Mill Water\"\n";
const SOUND: &str = "[compressor.a]\nvoltage = \"230 V\"\n";

struct Watching {
    child: Child,
    lines: Receiver<String>,
}

impl Watching {
    fn of(folder: &Path) -> Watching {
        let mut child = Command::new(env!("CARGO_BIN_EXE_nameplate"))
            .args(["audit", "--watch"])
            .arg(folder)
            .env("NO_COLOR", "1")
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let (sender, lines) = channel();
        let streams: [Box<dyn std::io::Read + Send>; 2] = [
            Box::new(child.stdout.take().unwrap()),
            Box::new(child.stderr.take().unwrap()),
        ];
        for stream in streams {
            let sender = sender.clone();
            std::thread::spawn(move || {
                for line in BufReader::new(stream).lines().map_while(Result::ok) {
                    let _ = sender.send(line);
                }
            });
        }
        Watching { child, lines }
    }

    /// Waits for a line with all the words; the lines before it.
    fn until(&self, words: &[&str]) -> Vec<String> {
        let mut seen = Vec::new();
        loop {
            let line = self.lines.recv_timeout(Duration::from_secs(120));
            let line = line.unwrap_or_else(|_| panic!("no {words:?} among {seen:#?}"));
            let is_it = words.iter().all(|word| line.contains(word));
            seen.push(line);
            if is_it {
                return seen;
            }
        }
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn what_changes_is_told_and_nothing_ends_the_watch_but_its_end() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    write("catalog.toml", HEAD);
    write("parts.toml", SOUND);
    let mut watching = Watching::of(folder.path());
    watching.until(&["Audited"]);
    write("parts.toml", &SOUND.replace("230 V", "230"));
    watching.until(&["new: ", "parts.toml:2:", "unit."]);
    // A file that can't be read as TOML, and one that isn't text at all.
    write("parts.toml", "[compressor.a\nvoltage = \"230 V");
    let seen = watching.until(&["new: ", "syntax."]);
    assert!(!seen.iter().any(|line| line.contains("failed")), "{seen:?}");
    std::fs::write(folder.path().join("parts.toml"), [0xff, 0xfe, 0x00, 0x7b]).unwrap();
    watching.until(&["new: ", "parts.toml:1:1"]);
    write("parts.toml", SOUND);
    watching.until(&["gone: ", "parts.toml"]);
    // A file that comes, and the catalog's head that goes and comes again.
    write("more.toml", "[compressor.b]\nvolts = 3\n");
    watching.until(&["new: ", "more.toml:2:"]);
    std::fs::remove_file(folder.path().join("catalog.toml")).unwrap();
    watching.until(&["gone: ", "more.toml:2:"]);
    write("catalog.toml", HEAD);
    watching.until(&["new: ", "more.toml:2:"]);
    #[cfg(unix)]
    {
        let id = watching.child.id().to_string();
        assert!(
            Command::new("kill")
                .args(["-INT", &id])
                .status()
                .unwrap()
                .success()
        );
        assert_eq!(watching.child.wait().unwrap().code(), Some(0));
    }
}

#[test]
fn what_is_not_there_at_first_is_not_watched() {
    let folder = tempfile::tempdir().unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(["audit", "--watch", "nowhere"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    let output = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(["audit", "--watch", "--format", "json", "."])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
}
