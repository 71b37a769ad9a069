// Lengths as the job's people read them, and SVG elements made without markup.

const SVG = "http://www.w3.org/2000/svg";

export const svg = (tag, attributes = {}, ...children) => {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) {
    made.setAttribute(name, value);
  }
  made.append(...children);
  return made;
};

export const html = (tag, attributes = {}, ...children) => {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) {
      made.addEventListener(name.slice(2), value);
    } else if (value === true) {
      made.setAttribute(name, "");
    } else if (value !== false && value !== null && value !== undefined) {
      made.setAttribute(name, value);
    }
  }
  made.append(...children.filter((child) => child !== null));
  return made;
};

const feetAndInches = (mm) => {
  const sixteenths = Math.round((Math.abs(mm) / 25.4) * 16);
  const [feet, rest] = [Math.floor(sixteenths / 192), sixteenths % 192];
  const [whole, part] = [Math.floor(rest / 16), rest % 16];
  const divisor = [16, 8, 4, 2, 1].find((size) => part % size === 0);
  const fraction = part ? ` ${part / divisor}/${16 / divisor}` : "";
  const sign = mm < 0 && sixteenths ? "−" : "";
  return `${sign}${feet ? `${feet}' ` : ""}${whole}${fraction}"`;
};

export const length = (mm, units) =>
  units === "imperial" ? feetAndInches(mm) : `${Math.round(mm)} mm`.replace("-", "−");

// A value as it stands in a field: in base units, or in feet and inches for an imperial job.
export const inField = (value, unit, units) => {
  if (value === null || value === undefined) {
    return "";
  }
  return unit === "mm" && units === "imperial" ? feetAndInches(value).replace("−", "-") : String(value);
};

// A form that is read here and not sent: it can be used again at once.
export const readHere = (event) => {
  event.preventDefault();
  delete event.target.dataset.sending;
  event.submitter?.removeAttribute("aria-disabled");
};
