// The tests expect English of the command line, in whatever language the terminal is.
process.env.LC_ALL = 'C';
