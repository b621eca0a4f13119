//! Starting the program and a browser on it, for the tests of this member.
