//! The cases.

mod describe;
mod load;
mod patch;
mod probe;
mod write;

use restrand_kit::{Bytes, Part};

use crate::Case;

/// Every case.
pub(crate) const ALL: &[Case] = &[
    Case {
        name: "describe/complete",
        about: "It says its name, what it is and what it reads or writes, the same every time.",
        run: describe::complete,
    },
    Case { name: "probe/own", about: "It knows a file of its own format.", run: probe::own },
    Case {
        name: "probe/foreign",
        about: "It says no to files of other formats.",
        run: probe::foreign,
    },
    Case {
        name: "probe/empty",
        about: "It is not sure of a file with nothing in it, nor of no file.",
        run: probe::empty,
    },
    Case { name: "probe/little", about: "It looks at little of a long file.", run: probe::little },
    Case {
        name: "load/order",
        about: "A table comes before its records, and each record has its place in it.",
        run: load::order,
    },
    Case {
        name: "load/places",
        about: "Every place lies inside the parts that it was given.",
        run: load::places,
    },
    Case { name: "load/again", about: "The same input gives the same frames.", run: load::again },
    Case {
        name: "load/pieces",
        about: "A part that is not in memory, and comes in pieces, gives the same frames.",
        run: load::pieces,
    },
    Case {
        name: "load/budget",
        about: "Where the budget allows next to nothing it reads the same, or says what it does not read.",
        run: load::budget,
    },
    Case {
        name: "load/stop",
        about: "It stops when the taker of the frames wants no more.",
        run: load::stop,
    },
    Case {
        name: "load/nothing",
        about: "A file with nothing in it, and no file, are refused or give no record.",
        run: load::nothing,
    },
    Case {
        name: "load/medium",
        about: "A part that cannot be read is an error, not an empty file.",
        run: load::medium,
    },
    Case {
        name: "load/truncated",
        about: "A file that was cut short is read as far as it goes, or refused with reason.",
        run: load::truncated,
    },
    Case {
        name: "load/damaged",
        about: "A damaged file is read as far as it goes, or refused with reason.",
        run: load::damaged,
    },
    Case {
        name: "write/identity",
        about: "What it writes it reads back, but for what it says it lost.",
        run: write::identity,
    },
    Case {
        name: "write/again",
        about: "The same schedule gives the same bytes.",
        run: write::again,
    },
    Case {
        name: "write/blank",
        about: "A schedule that states nothing can be written too.",
        run: write::blank,
    },
    Case {
        name: "write/ending",
        about: "It does not write under an ending that it does not name.",
        run: write::ending,
    },
    Case {
        name: "patch/nothing",
        about: "Without a change it gives the bytes back as they were.",
        run: patch::nothing,
    },
    Case {
        name: "patch/only",
        about: "It changes what is asked, and nothing else.",
        run: patch::only,
    },
];

fn parts(input: &[Bytes]) -> Vec<&dyn Part> {
    input.iter().map(|part| part as &dyn Part).collect()
}
