// Passkeys: asks the server for its question, the browser for the answer, and sends the form. Without this
// file the forms stay hidden, and the app's codes do.
"use strict";

(() => {
  const forms = document.querySelectorAll("form[data-passkey]");
  if (!forms.length || !window.PublicKeyCredential || !navigator.credentials) {
    return;
  }

  const toBytes = (text) => {
    const plain = atob(text.replace(/-/g, "+").replace(/_/g, "/"));
    return Uint8Array.from(plain, (sign) => sign.charCodeAt(0));
  };
  const toText = (buffer) => {
    const plain = Array.from(new Uint8Array(buffer), (byte) => String.fromCharCode(byte)).join("");
    return btoa(plain).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  };
  const withBytes = (list) => (list || []).map((one) => ({ ...one, id: toBytes(one.id) }));

  const makeNew = async (question) => {
    const made = await navigator.credentials.create({
      publicKey: {
        ...question,
        challenge: toBytes(question.challenge),
        user: { ...question.user, id: toBytes(question.user.id) },
        excludeCredentials: withBytes(question.excludeCredentials),
      },
    });
    return [made, {
      attestationObject: toText(made.response.attestationObject),
      transports: made.response.getTransports?.() || [],
    }];
  };

  const askOld = async (question) => {
    const used = await navigator.credentials.get({
      publicKey: {
        ...question,
        challenge: toBytes(question.challenge),
        allowCredentials: withBytes(question.allowCredentials),
      },
    });
    return [used, {
      authenticatorData: toText(used.response.authenticatorData),
      signature: toText(used.response.signature),
      userHandle: used.response.userHandle ? toText(used.response.userHandle) : null,
    }];
  };

  const questionFor = async (form) => {
    const answer = await fetch(form.dataset.passkey, {
      method: "POST", body: new URLSearchParams(new FormData(form)), credentials: "same-origin",
    });
    if (!(answer.headers.get("content-type") || "").startsWith("application/json")) {
      throw new Error("The page was open for too long. Load it again.");
    }
    const question = await answer.json();
    if (!answer.ok) {
      throw new Error(question.text);
    }
    return question;
  };

  const wordsOf = (fault) => ({
    InvalidStateError: "That key or device is one of your passkeys already.",
    NotAllowedError: "No passkey was given: it was cancelled, or took too long. Press the button once more.",
    NotSupportedError: "That key or device cannot make a passkey for this.",
    SecurityError: "The browser gives no passkey to this address.",
    TypeError: "The server did not answer. Look at the connection and press the button once more.",
  })[fault.name] || fault.message;

  const say = (form, words) => {
    const place = form.querySelector("[role='alert']");
    place.textContent = words;
    place.hidden = !words;
  };

  const answer = async (form) => {
    if (form.elements.passkey_name && !form.elements.passkey_name.value.trim()) {
      throw new Error("Give the passkey a name, such as “blue key” or “telephone”.");
    }
    const question = await questionFor(form);
    const [key, response] = await (question.user ? makeNew(question) : askOld(question));
    form.elements.answer.value = JSON.stringify({
      id: key.id,
      rawId: toText(key.rawId),
      type: key.type,
      clientExtensionResults: key.getClientExtensionResults(),
      response: { ...response, clientDataJSON: toText(key.response.clientDataJSON) },
    });
    if (form.elements.passkey_password) {
      form.elements.passkey_password.value = "";
    }
    form.submit();
  };

  forms.forEach((form) => {
    form.hidden = false;
    document.querySelector("[data-passkey-none]")?.remove();
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      say(form, "");
      if (window.location.origin !== form.dataset.origin) {
        say(form, `Passkeys work at ${form.dataset.origin} only. Open that address.`);
        free(form);
        return;
      }
      answer(form).catch((fault) => {
        say(form, wordsOf(fault));
        free(form);
      });
    });
  });

  // page.js takes a form for sent once its button is pressed; this one was not.
  function free(form) {
    delete form.dataset.sending;
    form.querySelectorAll("[aria-disabled]").forEach((button) => button.removeAttribute("aria-disabled"));
  }
})();
