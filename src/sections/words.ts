/** Words about sections, wherever they are shown. */
export const words = {
  title: 'Sections',
  list: (count: number) => (count === 1 ? 'One section' : `${count} sections, in order`),
  about: (label: string, from: string, to: string) => `${label}, ${from} to ${to}`,
  strength: (percent: number) => `Boundary ${percent} % sharp`,
  energy: (percent: number) => `Energy ${percent} %`,
  setByHand: 'Boundary set by hand',
  here: 'Here now',
} as const;
