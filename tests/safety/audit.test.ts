/** What is made of the answers of `npm audit`. The answers have the shape that npm 10 printed. */
import { describe, expect, it } from 'vitest';
import { auditVerdict } from '../setup/audit.ts';

const report = (vulnerabilities: object) => JSON.stringify({ auditReportVersion: 2, vulnerabilities });

describe('an audit', () => {
  it('names what is high or critical, and nothing less', () => {
    const answer = report({
      a: { name: 'a', severity: 'critical' },
      b: { name: 'b', severity: 'moderate' },
      c: { name: 'c', severity: 'high' },
    });
    expect(auditVerdict(answer)).toEqual({ kind: 'checked', found: ['a', 'c'] });
    expect(auditVerdict(report({}))).toEqual({ kind: 'checked', found: [] });
  });

  it('is skipped only when the registry could not be asked, with the reason', () => {
    const answer = JSON.stringify({ message: '405 Method Not Allowed', statusCode: 405, body: '' });
    expect(auditVerdict(answer)).toEqual({ kind: 'skipped', reason: '405 Method Not Allowed' });
    expect(() => auditVerdict('')).toThrow(SyntaxError);
    expect(() => auditVerdict('{}')).toThrow('not understood');
  });
});
