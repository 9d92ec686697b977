// The clock of a drill, and keys for its answers. The page does the same
// without: the server's clock is the one that counts.

const clock = document.querySelector('.drill-clock');
const form = document.querySelector('form[data-drill]');

if (clock) {
  const end = performance.now() + 1000 * Number(clock.dataset.left);
  const output = clock.querySelector('output');
  let said = '';
  const show = () => {
    const left = Math.max(0, Math.ceil((end - performance.now()) / 1000));
    const words = left > 99 ? `${Math.floor(left / 60)}:${String(left % 60).padStart(2, '0')}` : left > 0 ? `${left} s` : 'time is over';
    if (words !== said) {
      output.textContent = said = words;
      clock.classList.toggle('over', left === 0);
    }
    if (left > 0) setTimeout(show, 200);
  };
  show();
}

// A form that was sent is not sent again by a second press.
let sent = false;
form?.addEventListener('submit', (event) => {
  if (sent) event.preventDefault();
  sent = true;
});
addEventListener('pageshow', () => { sent = false; });

// 1 is "as it should be", 2 is "something is wrong", for the first picture that
// has no answer yet.
addEventListener('keydown', (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || event.target.closest('select, input[type=text], textarea')) return;
  const value = { 1: 'right', 2: 'wrong' }[event.key];
  if (!value || !form) return;
  const open = [...form.querySelectorAll('fieldset')].find((set) => !set.querySelector('input:checked'));
  const input = open?.querySelector(`input[value=${value}]`);
  if (input) {
    input.checked = true;
    input.focus();
    event.preventDefault();
  }
});
