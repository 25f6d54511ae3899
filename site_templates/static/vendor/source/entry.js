// The part of Vega a page needs to redraw a compiled chart: no maps, no canvas files, and
// expressions interpreted, so that the site's policy can forbid eval.
import { extend } from 'vega-util';
import { transforms } from 'vega-dataflow';
import * as data from 'vega-transforms';
import * as view from 'vega-view-transforms';
import * as encode from 'vega-encode';
import { parse } from 'vega-parser';
import { View } from 'vega-view';
import { expressionInterpreter } from 'vega-interpreter';

extend(transforms, data, view, encode);

export { View, expressionInterpreter, parse };
