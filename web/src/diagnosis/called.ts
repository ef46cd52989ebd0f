// A finding by the name the page has for it: defects as people report them, checkpoints as the service calls them.
import type { CoreDefect, NamedFinding } from '../api/types';
import { t } from '../texts/texts';

export const calledOf = (one: NamedFinding): string =>
  one.checkpoint ? one.called : (t.defects.names[one.finding as CoreDefect] ?? one.called);
