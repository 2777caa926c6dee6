// Words in Spanish for what is done before and after the day, fetched when it is first asked for.

export default {
  // What to make

  // What to gather, and paper for the day

  // Labels, and where a package comes from

  // The shelf

  // What was learned

  // The look back
  'look-back.title': 'Repaso',
  'look-back.made': 'Guardado',
  'look-back.nothing': 'No se terminó nada.',
  'look-back.rate': '{n} envases por hora.',
  'look-back.span': 'De las {from} a las {to}.',
  'look-back.depth': 'Qué tan largas fueron las filas',
  'look-back.no-depth': 'Aún no hay nada que dibujar.',
  'look-back.chart-label':
    'Gráfico del largo de las filas durante el día; la tabla de abajo tiene los números',
  'look-back.choose': 'Qué puestos',
  'look-back.depth-about': 'Una línea por fila, en la medida en que se cuenta allí.',
  'look-back.stations': 'Puesto por puesto',
  'look-back.stations-about':
    'Esperar trabajo y no haber nadie hablan del flujo, no de las personas.',
  'look-back.busy': 'Ocupado',
  'look-back.starved': 'Esperó trabajo',
  'look-back.unstaffed': 'Había trabajo, pero nadie',
  'look-back.deepest': 'Fila más larga',
  'look-back.deepest-words': '{carriers} viajes de {product} a las {at}',
  'look-back.csv': 'Guardar como tabla (CSV)',
  'look-back.loads': 'Tandas',
  'look-back.load': 'Frascos',
  'look-back.boil': 'Hervor a las',
  'look-back.process': 'Procesado',
  'look-back.heat-up': 'Hirvió en',
  'look-back.remarks': 'Observaciones',
  'look-back.of-minutes': '{span} de {minutes} min',
  'look-back.short': 'No todo el tiempo: no es para la despensa.',
  'look-back.broken': '{n} rotos.',
  'look-back.waste': 'Lo que fue por otros caminos',
  'look-back.trimmings': 'Recortes: {amount}',
  'look-back.rework': '{product} volvió de {from} a {to}, {n} {n?vez:veces}: {reasons}',
  'made.of': 'de {wanted} {package} que se querían',
  'made.cooling': '{n} de ellos aún enfriándose',
  'made.standing': '{n} llenos, sin terminar',
  'made.refrigerated': '{n} al refrigerador',
  'made.frozen': '{n} al congelador',
  'made.fresh': '{n} comidos o regalados',
  'made.diverted': '{n} fueron por otro camino',
  'made.broken': '{n} rotos',
  'made.scrapped': '{n} tirados',
  'made.short': '{n} terminaron antes: no son para la despensa',
  'waste.scraps': '{amount} de {product} en {station}: tirado',
  'waste.fresh': '{amount} de {product} en {station}: comido o regalado',
  'waste.refrigerator': '{amount} de {product} en {station}: refrigerador',
  'waste.freezer': '{amount} de {product} en {station}: congelador',
  'waste.other_route': '{amount} de {product} en {station}: otro producto',
  'waste.broken': '{amount} de {product} en {station}: roto',
  'waste.missing': '{amount} de {product} en {station}: faltó al contar',
  'waste.found': '{amount} de {product} en {station}: más de lo pensado al contar',
};
