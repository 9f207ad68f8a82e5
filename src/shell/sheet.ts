/** Styles that are made while the app runs. A `<style>` element would be refused by the page's policy. */

/** The page has these styles until the returned function is called. */
export function adoptStyles(css: string): () => void {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(css);
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
  return () => {
    document.adoptedStyleSheets = document.adoptedStyleSheets.filter((each) => each !== sheet);
  };
}
