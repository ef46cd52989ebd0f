// A box's page, kept fresh while the box changes.
import { api } from '../api/client';
import type { Box } from '../api/types';
import { live } from './live.svelte';
import { Shown } from './shown.svelte';

// To be called while a component is set up; it stops with the component.
export function shownBox(id: () => string): Shown<Box> {
  const shown = new Shown(() => api.box(id()));
  void shown.refresh();
  $effect(() => {
    const stop = [live.onBox((changed) => changed === id() && void shown.refresh()), live.onCatchUp(() => void shown.refresh())];
    return () => stop.forEach((end) => end());
  });
  return shown;
}
