// Svelte action: the thing that has just come takes the keyboard.
export function takesFocus(element: HTMLElement): void {
  element.focus({ preventScroll: true });
}
