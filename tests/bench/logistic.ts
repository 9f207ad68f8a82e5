/** Logistic regression, and the table that shows whether a confidence means what it says. */

export interface Case {
  /** The first is 1 for the intercept. */
  values: number[];
  right: boolean;
}

const ROUNDS = 60;

/**
 * Weights of a logistic regression by Newton's method (iteratively re-weighted least squares).
 * @param ridge penalty on the squared weights, per case and after scaling each value by its spread
 */
export function fitLogistic(cases: Case[], ridge: number): number[] {
  const size = cases[0].values.length;
  const spread = Array.from({ length: size }, (_, i) => {
    const mean = cases.reduce((sum, c) => sum + c.values[i], 0) / cases.length;
    const variance = cases.reduce((sum, c) => sum + (c.values[i] - mean) ** 2, 0) / cases.length;
    return variance > 1e-18 ? Math.sqrt(variance) : 1;
  });
  const rows = cases.map((c) => c.values.map((value, i) => value / spread[i]));
  let weights = new Array<number>(size).fill(0);
  for (let round = 0; round < ROUNDS; round++) {
    // The penalty leaves the intercept alone.
    const gradient = weights.map((w, i) => (i ? -ridge * w : 0));
    const hessian = weights.map((_, i) =>
      weights.map((_w, j) => (i === j && i ? ridge : 1e-9 * Number(i === j))),
    );
    rows.forEach((row, n) => {
      const p = 1 / (1 + Math.exp(-row.reduce((sum, x, i) => sum + x * weights[i], 0)));
      const error = (Number(cases[n].right) - p) / rows.length;
      const bend = Math.max(1e-6, p * (1 - p)) / rows.length;
      for (let i = 0; i < size; i++) {
        gradient[i] += error * row[i];
        for (let j = 0; j < size; j++) hessian[i][j] += bend * row[i] * row[j];
      }
    });
    const step = solve(hessian, gradient);
    weights = weights.map((w, i) => w + step[i]);
    if (Math.max(...step.map(Math.abs)) < 1e-8) break;
  }
  return weights.map((w, i) => Number((w / spread[i]).toPrecision(4)));
}

/** Gauss elimination with pivoting. */
function solve(matrix: number[][], right: number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i]]);
  const n = rows.length;
  for (let i = 0; i < n; i++) {
    let pivot = i;
    for (let k = i + 1; k < n; k++) if (Math.abs(rows[k][i]) > Math.abs(rows[pivot][i])) pivot = k;
    [rows[i], rows[pivot]] = [rows[pivot], rows[i]];
    for (let k = i + 1; k < n; k++) {
      const factor = rows[k][i] / rows[i][i];
      for (let j = i; j <= n; j++) rows[k][j] -= factor * rows[i][j];
    }
  }
  const out = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let sum = rows[i][n];
    for (let j = i + 1; j < n; j++) sum -= rows[i][j] * out[j];
    out[i] = sum / rows[i][i];
  }
  return out;
}

/** Edges of the bins of a calibration table. */
const BINS = [0, 0.3, 0.5, 0.7, 0.85, 0.95, 1];

export const CALIBRATION_HEAD = ['confidence', 'cases', 'said on average', 'right'];

export interface Said {
  confidence: number;
  right: boolean;
}

/** One row per bin: bin, cases, mean confidence said, share that was right; and the Brier score against the base rate's. */
export function calibrationRows(said: Said[]): (string | number)[][] {
  const rows: (string | number)[][] = [];
  const mean = (list: number[]) => list.reduce((a, b) => a + b, 0) / list.length;
  for (let b = 0; b + 1 < BINS.length; b++) {
    const last = b + 2 === BINS.length;
    const inBin = said.filter((s) => s.confidence >= BINS[b] && (s.confidence < BINS[b + 1] || last));
    if (!inBin.length) continue;
    rows.push([
      `${BINS[b].toFixed(2)} to ${BINS[b + 1].toFixed(2)}`,
      inBin.length,
      mean(inBin.map((s) => s.confidence)).toFixed(3),
      mean(inBin.map((s) => Number(s.right))).toFixed(3),
    ]);
  }
  const base = mean(said.map((s) => Number(s.right)));
  const brier = mean(said.map((s) => (s.confidence - Number(s.right)) ** 2));
  rows.push(['all', said.length, mean(said.map((s) => s.confidence)).toFixed(3), base.toFixed(3)]);
  rows.push([
    `Brier score ${brier.toFixed(3)}, of always saying the base rate ${(base * (1 - base)).toFixed(3)}`,
    '',
    '',
    '',
  ]);
  return rows;
}
