// Light or dark: the device's setting until someone switches; then theirs, kept on this device.
const KEY = 'boxfettle.theme';

class Theme {
  dark = $state(document.documentElement.dataset.theme === 'dark');

  constructor() {
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', (event) => {
      if (kept() === null) this.show(event.matches);
    });
  }
  flip(): void {
    this.show(!this.dark);
    try {
      localStorage.setItem(KEY, this.dark ? 'dark' : 'light');
    } catch {
      // Storage closed: the choice lasts until the page is left.
    }
  }
  private show(dark: boolean): void {
    this.dark = dark;
    document.documentElement.dataset.theme = dark ? 'dark' : 'light';
  }
}

function kept(): string | null {
  try {
    return localStorage.getItem(KEY);
  } catch {
    return null;
  }
}

export const theme = new Theme();
