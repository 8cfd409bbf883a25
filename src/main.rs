//! The command line's entrance: exit codes and nothing else.

fn main() -> std::process::ExitCode {
    storystick::cli::run()
}
