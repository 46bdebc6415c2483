//! SARIF 2.1.0.
