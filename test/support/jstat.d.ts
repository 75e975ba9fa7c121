/** The part of the statistics library that the tests use as a second implementation. */
declare module 'jstat' {
  const jstat: {
    readonly jStat: JStat;
  };
  export default jstat;

  interface JStat {
    readonly hypgeom: {
      /** Probability of `k` marked ones among `n` drawn from `all`, of which `marked` are marked. */
      pdf(k: number, all: number, marked: number, n: number): number;
    };
    readonly chisquare: { cdf(x: number, freedom: number): number };
  }
}
