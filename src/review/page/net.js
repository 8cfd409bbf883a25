// Talking to the program. Every change goes to the file before the answer comes.

/** What went wrong, in words for a person. */
export class Trouble extends Error {}

async function ask(path, body) {
  let answer;
  try {
    answer = await fetch(path, body === undefined ? {} : {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(body),
    });
  } catch {
    throw new Trouble("storystick has ended, so nothing more is saved; start review again and open its new address");
  }
  if (answer.ok) return answer.json();
  let said = "";
  try {
    said = (await answer.json()).error;
  } catch {
    // A refusal without words; its number must do.
  }
  throw new Trouble(said || `the program answered ${answer.status}`);
}

export const net = {
  view: () => ask("api/list"),
  revision: () => ask("api/revision"),
  choices: () => ask("api/choices"),
  change: (change) => ask("api/change", change),
};
