//! The command `nameplate`. Everything it does is in the library.

fn main() -> std::process::ExitCode {
    nameplate::cli::run()
}
