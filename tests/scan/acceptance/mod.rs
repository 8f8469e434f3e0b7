//! What the measuring of scans must hold.

mod accuracy;
mod calibration;
mod cluttered;
mod damage;
mod end_to_end;
mod files;
mod one_sided;
mod page;
mod photograph;
mod refusal;
mod speed;
