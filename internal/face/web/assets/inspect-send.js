// Sends what is kept whenever the laptop is in reach.
import { send, Told } from "./inspect-store.js";

// sender sends the entries of one walk and calls changed when something is to be
// shown.
export function sender(id, changed) {
  const sending = {
    timer: 0,
    wait: 2000,
    apart: null,
    refused: "",
    written: false, // what is refused is in a file
    signIn: false,
    unwell: "", // why the laptop can keep nothing
    reached: null, // when the laptop last answered
    busy: false,
    soon() {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.go(), 50);
    },
    async go() {
      if (this.busy) {
        this.again = true;
        return;
      }
      this.busy = true;
      this.again = false;
      clearTimeout(this.timer);
      let next = 0;
      try {
        const out = await send(id);
        if (out.apart !== null) this.apart = out.apart;
        if (out.sent > 0) this.reached = new Date();
        this.refused = out.refused;
        this.signIn = false;
        this.unwell = "";
        this.wait = 2000;
        if (out.refused) next = 60000;
      } catch (error) {
        this.unwell = error.unwell ?? "";
        if (error instanceof Told) {
          this.signIn = error.status === 401;
          this.refused = this.signIn ? "" : error.message;
        }
        // Longer and longer, and not all tablets at once.
        next = this.wait * (0.75 + Math.random() / 2);
        this.wait = Math.min(this.wait * 2, 60000);
      }
      this.busy = false;
      if (this.again) this.soon();
      else if (next > 0) this.timer = setTimeout(() => this.go(), next);
      changed();
    },
  };
  addEventListener("online", () => {
    sending.wait = 2000;
    sending.soon();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") sending.soon();
  });
  return sending;
}
