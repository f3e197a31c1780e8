/**
 * Sizes of corrugated cartons that box makers usually have in stock, inside, in inches: common practice, no source. The empty weight is
 * reckoned from the board (559 g/m2, single wall of 32 lb/in; common practice, no source): weigh one of your own.
 */
export const USUAL_CARTONS = [
  [4, 4, 4],
  [6, 4, 4],
  [6, 6, 6],
  [8, 6, 4],
  [8, 8, 8],
  [9, 6, 4],
  [10, 8, 6],
  [10, 10, 10],
  [12, 9, 4],
  [12, 9, 6],
  [12, 12, 6],
  [12, 12, 8],
  [12, 12, 12],
  [14, 10, 8],
  [16, 12, 8],
].map((sides) => ({ name: sides.join("×"), sides: sides.map((side) => `${side} in`) }));
