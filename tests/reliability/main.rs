//! Nothing lost, nothing let in: damaged books, many processes at once, hostile input, full disks. Unix only, because it
//! needs rights of files, signals and limits of the shell.
#![cfg(unix)]

mod crowd;
mod damage;
mod versions;
mod workshop;
