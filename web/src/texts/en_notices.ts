// Sentences of the screen that says what one should know on looking in.
import { plural } from './plural';

export const notices = {
  title: 'New and due',
  loading: 'Looking …',
  forRole: (role: string) => `For the ${role}. What you did yourself is left out.`,
  overdue: 'Overdue',
  noneOverdue: 'Nothing is overdue.',
  due: 'Due within a day',
  noneDue: 'Nothing falls due within a day.',
  changed: 'Changed since you last looked',
  noneChanged: 'Nothing has changed.',
  since: (when: string) => `since ${when}`,
  at: (when: string) => `due ${when}`,
  by: (who: string, when: string) => `${who}, ${when}`,
  shop: 'The shop',
  seen: 'I have seen these',
  seenDone: 'Kept on this device: next time only what is newer is shown.',
  more: (n: number) => `Show ${plural(n, 'more', 'more')}`,
  calendar: 'In your own calendar',
  calendarLead: 'Subscribe to this address in a calendar program. Whoever has it can read what is due, so treat it like a key; a new passphrase changes it.',
  copy: 'Copy the address',
  copied: 'Copied.',
  notCopied: 'This browser does not copy here: mark the address and copy it by hand.',
  what: { run: 'Run', inspection: 'Inspection', care: 'Care', concession: 'Concession', delivery: 'Delivery', trace: 'Suspect cores', job: 'Tool-room job' },
};
