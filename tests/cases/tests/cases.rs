//! Runs every case, page and policy as a test of its own name.

use libtest_mimic::{Arguments, Failed, Trial};
use restrand_test_cases::{Named, cases, pages, policies};

fn main() {
    let arguments = Arguments::from_args();
    let cases = cases()
        .unwrap_or_else(|why| vec![Named { name: "cases".into(), test: Box::new(|| Err(why)) }]);
    let trials = cases
        .into_iter()
        .chain(pages())
        .chain(policies())
        .map(|named| Trial::test(named.name, || (named.test)().map_err(Failed::from)))
        .collect();
    libtest_mimic::run(&arguments, trials).exit();
}
