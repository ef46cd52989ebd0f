// crypto.randomUUID is missing on a plain-HTTP address inside the shop; random bytes are not.
export function newRequestId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
