// Who is signed in on this page.
import { api, Refused } from '../api/client';
import type { Me } from '../api/types';

type State = { at: 'asking' } | { at: 'signed-out' } | { at: 'signed-in'; me: Me } | { at: 'unreachable'; why: Refused };

class Session {
  state = $state<State>({ at: 'asking' });

  async ask(): Promise<void> {
    try {
      this.state = { at: 'signed-in', me: await api.me() };
    } catch (failure) {
      if (!(failure instanceof Refused)) throw failure;
      this.state = failure.status === 401 ? { at: 'signed-out' } : { at: 'unreachable', why: failure };
    }
  }
  async signIn(name: string, passphrase: string): Promise<void> {
    this.state = { at: 'signed-in', me: await api.signIn({ name, passphrase }) };
  }
  async signOut(): Promise<void> {
    await api.signOut();
    this.ended();
  }
  ended(): void {
    this.state = { at: 'signed-out' };
  }
}

export const session = new Session();
