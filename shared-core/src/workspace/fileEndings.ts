/** What the names of our files end in that are no dumps, without the dot. */
export const FILE_ENDINGS = {
  profiles: 'dump-profile.json',
  retrofits: 'retrofit.json',
  cards: 'job-card.md',
  printedCards: 'job-card.html',
} as const;
