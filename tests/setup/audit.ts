/** Known faults of the packages that are shipped, by `npm audit` (https://docs.npmjs.com/cli/v10/commands/npm-audit). */
import { spawnSync } from 'node:child_process';

export type AuditVerdict =
  /** `found`: names of packages with a high or critical fault. */
  | { kind: 'checked'; found: string[] }
  /** The registry could not be asked. */
  | { kind: 'skipped'; reason: string };

interface Report {
  auditReportVersion?: number;
  vulnerabilities?: Record<string, { severity: string }>;
  message?: string;
}

const GRAVE = ['high', 'critical'];

/**
 * What `npm audit --json` says.
 * @throws SyntaxError when it is no JSON, Error when it is neither a report nor a word about the registry
 */
export function auditVerdict(output: string): AuditVerdict {
  const report = JSON.parse(output) as Report;
  if (report.auditReportVersion && report.vulnerabilities) {
    const all = Object.entries(report.vulnerabilities);
    return {
      kind: 'checked',
      found: all.filter(([, v]) => GRAVE.includes(v.severity)).map(([name]) => name),
    };
  }
  if (report.message) return { kind: 'skipped', reason: report.message };
  throw new Error(`npm audit says what is not understood: ${output.slice(0, 200)}`);
}

/** Asks the registry about the shipped packages. @returns whether nothing grave is known; prints what it finds */
export function audit(): boolean {
  const { stdout } = spawnSync('npm', ['audit', '--omit=dev', '--audit-level=high', '--json'], {
    encoding: 'utf8',
  });
  const verdict = auditVerdict(stdout);
  if (verdict.kind === 'skipped') {
    console.log(`skipped: the registry takes no audit (${verdict.reason})`);
    return true;
  }
  const { found } = verdict;
  console.log(
    found.length
      ? `High or critical: ${found.join(', ')}. See npm audit.`
      : 'Nothing high or critical known.',
  );
  return found.length === 0;
}
