/** Prices as they are written here: by the custom of the phone's language, in the currency that was typed. */

import { formatNumber } from "../../core/units.js";

/** @param {number} value @param {string} currency three letters; "" where nobody said */
export function priceText(value, currency) {
  if (!/^[A-Za-z]{3}$/.test(currency)) return [formatNumber(value, 2, undefined, value % 1 ? 2 : 0), currency].filter(Boolean).join(" ");
  try {
    const digits = value % 1 === 0 ? { minimumFractionDigits: 0 } : {};
    return new Intl.NumberFormat(undefined, { style: "currency", currency: currency.toUpperCase(), ...digits }).format(value);
  } catch {
    return `${formatNumber(value, 2)} ${currency}`;
  }
}
