/** The middle of some numbers, which a few wild ones hardly move; 0 of none. @param {number[]} numbers */
export function median(numbers) {
  const ordered = [...numbers].sort((one, other) => one - other);
  const middle = Math.floor(ordered.length / 2);
  const upper = ordered[middle] ?? 0;
  return ordered.length % 2 ? upper : ((ordered[middle - 1] ?? 0) + upper) / 2;
}
