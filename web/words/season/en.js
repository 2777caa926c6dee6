// Words in English for what is done before and after the day, fetched when it is first asked for.

export default {
  // What to make

  // What to gather, and paper for the day

  // Labels, and where a package comes from

  // The shelf

  // What was learned

  // The look back
  'look-back.title': 'Look back',
  'look-back.made': 'Put by',
  'look-back.nothing': 'Nothing was finished.',
  'look-back.rate': '{n} packages an hour.',
  'look-back.span': 'From {from} to {to}.',
  'look-back.depth': 'How deep the queues stood',
  'look-back.no-depth': 'There is nothing to draw yet.',
  'look-back.chart-label': 'Chart of queue depth over the day; the table below has the figures',
  'look-back.choose': 'Which stations',
  'look-back.depth-about': 'One line for each queue, in the measure it is counted in there.',
  'look-back.stations': 'Station by station',
  'look-back.stations-about':
    'Waiting for work and nobody there are about the flow, not about people.',
  'look-back.busy': 'Busy',
  'look-back.starved': 'Waited for work',
  'look-back.unstaffed': 'Work, but nobody there',
  'look-back.deepest': 'Deepest queue',
  'look-back.deepest-words': '{carriers} carriers of {product} at {at}',
  'look-back.csv': 'Save as a table (CSV)',
  'look-back.loads': 'Loads',
  'look-back.load': 'Jars',
  'look-back.boil': 'Boil at',
  'look-back.process': 'Processed',
  'look-back.heat-up': 'Came to the boil in',
  'look-back.remarks': 'Remarks',
  'look-back.of-minutes': '{span} of {minutes} min',
  'look-back.short': 'Not the full time: not for the shelf.',
  'look-back.broken': '{n} broken.',
  'look-back.waste': 'What went other ways',
  'look-back.trimmings': 'Trimmings: {amount}',
  'look-back.rework': '{product} went back from {from} to {to}, {n} {n?time:times}: {reasons}',
  'made.of': 'of {wanted} {package} wanted',
  'made.cooling': '{n} of them still cooling',
  'made.standing': '{n} filled, not done',
  'made.refrigerated': '{n} to the refrigerator',
  'made.frozen': '{n} to the freezer',
  'made.fresh': '{n} eaten or given away',
  'made.diverted': '{n} went another way',
  'made.broken': '{n} broken',
  'made.scrapped': '{n} thrown away',
  'made.short': '{n} ended early: not for the shelf',
  'waste.scraps': '{amount} of {product} at {station}: thrown away',
  'waste.fresh': '{amount} of {product} at {station}: eaten or given away',
  'waste.refrigerator': '{amount} of {product} at {station}: refrigerator',
  'waste.freezer': '{amount} of {product} at {station}: freezer',
  'waste.other_route': '{amount} of {product} at {station}: another product',
  'waste.broken': '{amount} of {product} at {station}: broken',
  'waste.missing': '{amount} of {product} at {station}: missing when counted',
  'waste.found': '{amount} of {product} at {station}: more than thought when counted',
};
