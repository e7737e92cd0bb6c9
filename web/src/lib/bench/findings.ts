/** Findings in the order of the ledger, and the words that go with a verdict. */
import type { FindingView } from '$lib/api/types/FindingView';
import type { Verdict } from '$lib/api/types/Verdict';

/** Worst first. What is not known comes before what is sound: it may hide either. */
export const VERDICTS: readonly Verdict[] = ['broken', 'tight', 'unknown', 'sound'];

export interface Group {
  verdict: Verdict;
  findings: FindingView[];
}

export type VerdictFilter = Verdict | 'all';

/** The groups that have findings, worst first; within a group in the order the proof gave. */
export function grouped(findings: readonly FindingView[]): Group[] {
  return VERDICTS.map((verdict) => ({
    verdict,
    findings: findings.filter((finding) => finding.verdict === verdict),
  })).filter((group) => group.findings.length > 0);
}

export function filtered(
  findings: readonly FindingView[],
  verdict: VerdictFilter,
  place: string | null,
): FindingView[] {
  return findings.filter(
    (finding) =>
      (verdict === 'all' || finding.verdict === verdict) &&
      (place === null || finding.places.includes(place)),
  );
}

/** The worst verdict among the findings that concern each place; a place of which nothing is said is not in it. */
export function worstByPlace(findings: readonly FindingView[]): Map<string, Verdict> {
  const worst = new Map<string, Verdict>();
  // From the best to the worst, so that the worst is written last.
  for (const verdict of [...VERDICTS].reverse())
    for (const finding of findings)
      if (finding.verdict === verdict) for (const place of finding.places) worst.set(place, verdict);
  return worst;
}

/** What changed between two proofs, in one line, for the ear. */
export function changeWords(before: readonly FindingView[], after: readonly FindingView[]): string {
  const old = new Map(before.map((finding) => [finding.key, finding.verdict]));
  const changed = after.filter((finding) => old.get(finding.key) !== finding.verdict);
  const first = changed[0];
  if (!first) return 'No verdict changed.';
  const others = changed.length - 1;
  const more = others === 0 ? '' : ` And ${others} more changed.`;
  return `Now ${first.verdict}: ${first.message}.${more}`.replace(/\.\.(?=\s|$)/g, '.');
}
