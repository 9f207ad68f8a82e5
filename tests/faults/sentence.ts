/** What a sentence for the person must be: it names the file, ends, and is no dump of an error. */
export function badSentence(sentence: string, name: string): string | null {
  if (!sentence.includes(name)) return `does not name the file: ${sentence}`;
  const rest = sentence.replaceAll(name, '');
  if (!rest.trim().endsWith('.') || rest.length > 600) return `is no sentence: ${sentence}`;
  if (/\bundefined\b|\[object|TypeError|RangeError|SyntaxError/.test(rest))
    return `leaks an error: ${sentence}`;
  return null;
}
