// Words in Spanish for what is rarely said on a day, fetched when it is.

export default {
  'disk.full': 'El disco del tablero está lleno: los toques esperan en tu aparato. Haz sitio.',
  'disk.fails': 'El disco del tablero no guarda: los toques esperan en tu aparato. Revísalo.',
  'disk.works': 'El tablero acepta toques otra vez.',
};
