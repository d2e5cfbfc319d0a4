// Makes elements, and keeps lists of them in step with data without making them anew.

export function el(tag, attributes = {}, ...children) {
  return filled(document.createElement(tag), attributes, children);
}

export function svg(tag, attributes = {}, ...children) {
  return filled(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, children);
}

function filled(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) {
      node.addEventListener(name.slice(2), value);
    } else if (value !== undefined && value !== false) {
      node.setAttribute(name, value === true ? "" : value);
    }
  }
  node.append(...children.filter((child) => child !== undefined && child !== ""));
  return node;
}

/** Sets a text only where it differs, so that a screen reader is left alone. */
export function text(node, words) {
  if (node.textContent !== words) {
    node.textContent = words;
  }
}

/** Keeps the children of a node: one for each item, made once for its key, made anew only where its signature changes. */
export function keep(node, items, make) {
  const had = new Map();
  for (const child of node.children) {
    had.set(child.dataset.key, child);
  }
  let at = node.firstElementChild;
  for (const item of items) {
    const old = had.get(item.key);
    const same = old && old.dataset.signature === item.signature;
    let child = old;
    if (!same) {
      const focused = old?.contains(document.activeElement) && document.activeElement.dataset.part;
      child = make(item);
      child.dataset.key = item.key;
      child.dataset.signature = item.signature;
      if (old) {
        if (at === old) {
          at = child;
        }
        old.replaceWith(child);
        if (focused) {
          child.querySelector(`[data-part="${focused}"]`)?.focus();
        }
      }
    }
    had.delete(item.key);
    if (child === at) {
      at = at.nextElementSibling;
    } else {
      node.insertBefore(child, at);
    }
  }
  had.forEach((child) => child.remove());
}
