/** A time after which no dump of a test was read. */
export const LATER = '2099-01-01T00:00:00Z';
