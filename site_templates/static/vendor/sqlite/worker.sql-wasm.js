
// We are modularizing this manually because the current modularize setting in Emscripten has some issues:
// https://github.com/kripken/emscripten/issues/5820
// In addition, When you use emcc's modularization, it still expects to export a global object called `Module`,
// which is able to be used/called before the WASM is loaded.
// The modularization below exports a promise that loads and resolves to the actual sql.js module.
// That way, this module can't be used before the WASM is finished loading.

// We are going to define a function that a user will call to start loading initializing our Sql.js library
// However, that function might be called multiple times, and on subsequent calls, we don't actually want it to instantiate a new instance of the Module
// Instead, we want to return the previously loaded module

// TODO: Make this not declare a global if used in the browser
var initSqlJsPromise = undefined;

var initSqlJs = function (moduleConfig) {

    if (initSqlJsPromise){
      return initSqlJsPromise;
    }
    // If we're here, we've never called this function before
    initSqlJsPromise = new Promise(function (resolveModule, reject) {

        // We are modularizing this manually because the current modularize setting in Emscripten has some issues:
        // https://github.com/kripken/emscripten/issues/5820

        // The way to affect the loading of emcc compiled modules is to create a variable called `Module` and add
        // properties to it, like `preRun`, `postRun`, etc
        // We are using that to get notified when the WASM has finished loading.
        // Only then will we return our promise

        // If they passed in a moduleConfig object, use that
        // Otherwise, initialize Module to the empty object
        var Module = typeof moduleConfig !== 'undefined' ? moduleConfig : {};

        // EMCC only allows for a single onAbort function (not an array of functions)
        // So if the user defined their own onAbort function, we remember it and call it
        var originalOnAbortFunction = Module['onAbort'];
        Module['onAbort'] = function (errorThatCausedAbort) {
            reject(new Error(errorThatCausedAbort));
            if (originalOnAbortFunction){
              originalOnAbortFunction(errorThatCausedAbort);
            }
        };

        Module['postRun'] = Module['postRun'] || [];
        Module['postRun'].push(function () {
            // When Emscripted calls postRun, this promise resolves with the built Module
            resolveModule(Module);
        });

        // There is a section of code in the emcc-generated code below that looks like this:
        // (Note that this is lowercase `module`)
        // if (typeof module !== 'undefined') {
        //     module['exports'] = Module;
        // }
        // When that runs, it's going to overwrite our own modularization export efforts in shell-post.js!
        // The only way to tell emcc not to emit it is to pass the MODULARIZE=1 or MODULARIZE_INSTANCE=1 flags,
        // but that carries with it additional unnecessary baggage/bugs we don't want either.
        // So, we have three options:
        // 1) We undefine `module`
        // 2) We remember what `module['exports']` was at the beginning of this function and we restore it later
        // 3) We write a script to remove those lines of code as part of the Make process.
        //
        // Since those are the only lines of code that care about module, we will undefine it. It's the most straightforward
        // of the options, and has the side effect of reducing emcc's efforts to modify the module if its output were to change in the future.
        // That's a nice side effect since we're handling the modularization efforts ourselves
        module = undefined;

        // The emcc-generated code and shell-post.js code goes below,
        // meaning that all of it runs inside of this promise. If anything throws an exception, our promise will abort
var k;k||=typeof Module !== 'undefined' ? Module : {};var aa=!!globalThis.window,ba=!!globalThis.WorkerGlobalScope,ca=globalThis.process?.versions?.node&&globalThis.process?.type!="renderer";
k.onRuntimeInitialized=function(){function a(f,h){tb(f,h instanceof Error?h.message:String(h),-1)}function b(f,h){switch(typeof h){case "boolean":kc(f,h?1:0);break;case "number":lc(f,h);break;case "string":mc(f,h,l(h),-1);break;case "object":if(h===null)ub(f);else if(h.length!=null){var p=da(h.length);v.set(h,p);nc(f,p,h.length,-1);ea(p)}else tb(f,"Wrong API use : tried to return a value of an unknown type ("+h+").",-1);break;default:ub(f)}}function d(f,h){for(var p=[],r=0;r<f;r+=1){var u=y(h+4*r,
"i32"),w=oc(u);if(w===1||w===2)u=pc(u);else if(w===3)w=vb(u),u=qc(u),u=A(u,w,!0);else if(w===4){w=u;u=vb(w);w=rc(w);for(var x=new Uint8Array(u),G=0;G<u;G+=1)x[G]=v[w+G];u=x}else u=null;p.push(u)}return p}function c(f,h){this.Va=f;this.db=h;this.Ta=1;this.rb=[]}function e(f,h){this.db=h;this.kb=fa(f);if(this.kb===null)throw Error("Unable to allocate memory for the SQL string");this.pb=this.kb;this.bb=this.xb=null}function g(f){this.filename="dbfile_"+(4294967295*Math.random()>>>0);f!=null&&ja(this.filename,
f);this.handleError(F(this.filename,q));this.db=y(q,"i32");z&&sc(this.db);this.qb={};this.Ya=new Map}function m(f,h){return f.replace(/[A-Z]/g,function(p){return p.toLowerCase()})+":"+h}function t(f){f.forEach(ka)}var z=k.useOldExtensionFunctions!==!1,q=la(4),n=k.cwrap,F=n("sqlite3_open","number",["string","number"]),S=n("sqlite3_close_v2","number",["number"]),Ta=n("sqlite3_backup_init","number",["number","string","number","string"]),ma=n("sqlite3_backup_step","number",["number","number"]),na=n("sqlite3_backup_finish",
"number",["number"]),ha=n("sqlite3_exec","number",["number","number","number","number","number"]),Aa=n("sqlite3_changes","number",["number"]),N=n("sqlite3_sql","string",["number"]),tc=n("sqlite3_normalized_sql","string",["number"]),Ua=n("sqlite3_prepare_v2","number",["number","number","number","number","number"]),uc=n("sqlite3_bind_text","number",["number","number","number","number","number"]),xb=n("sqlite3_bind_blob","number",["number","number","number","number","number"]),vc=n("sqlite3_bind_double",
"number",["number","number","number"]),wc=n("sqlite3_bind_int","number",["number","number","number"]),xc=n("sqlite3_bind_parameter_index","number",["number","string"]),yc=n("sqlite3_step","number",["number"]),ia=n("sqlite3_errmsg","string",["number"]),zc=n("sqlite3_column_count","number",["number"]),Ac=n("sqlite3_data_count","number",["number"]),Bc=n("sqlite3_column_double","number",["number","number"]),Cc=n("sqlite3_column_text","number",["number","number"]),Dc=n("sqlite3_column_blob","number",["number",
"number"]),yb=n("sqlite3_column_bytes","number",["number","number"]),Ec=n("sqlite3_column_type","number",["number","number"]),Fc=n("sqlite3_column_name","string",["number","number"]),Gc=n("sqlite3_reset","number",["number"]),Hc=n("sqlite3_clear_bindings","number",["number"]),Ic=n("sqlite3_finalize","number",["number"]),zb=n("sqlite3_create_function_v2","number","number string number number number number number number number".split(" ")),oc=n("sqlite3_value_type","number",["number"]),vb=n("sqlite3_value_bytes",
"number",["number"]),qc=n("sqlite3_value_text","number",["number"]),rc=n("sqlite3_value_blob","number",["number"]),pc=n("sqlite3_value_double","number",["number"]),lc=n("sqlite3_result_double","",["number","number"]),ub=n("sqlite3_result_null","",["number"]),mc=n("sqlite3_result_text","",["number","string","number","number"]),nc=n("sqlite3_result_blob","",["number","number","number","number"]),kc=n("sqlite3_result_int","",["number","number"]),tb=n("sqlite3_result_error","",["number","string","number"]),
Ab=n("sqlite3_aggregate_context","number",["number","number"]),sc=n("RegisterExtensionFunctions","number",["number"]),Bb=n("sqlite3_update_hook","number",["number","number","number"]);c.prototype.bind=function(f){if(!this.Va)throw"Statement closed";this.reset();return Array.isArray(f)?this.Ob(f):f!=null&&typeof f==="object"?this.Pb(f):!0};c.prototype.step=function(){if(!this.Va)throw"Statement closed";this.Ta=1;var f=yc(this.Va);switch(f){case 100:return!0;case 101:return!1;default:throw this.db.handleError(f);
}};c.prototype.Hb=function(f){f==null&&(f=this.Ta,this.Ta+=1);return Bc(this.Va,f)};c.prototype.Xb=function(f){f==null&&(f=this.Ta,this.Ta+=1);if(typeof BigInt!=="function")throw Error("BigInt is not supported");return BigInt(this.Ib(f))};c.prototype.Ib=function(f){f==null&&(f=this.Ta,this.Ta+=1);var h=Cc(this.Va,f);f=yb(this.Va,f);return A(h,f,!0)};c.prototype.getBlob=function(f){f==null&&(f=this.Ta,this.Ta+=1);var h=yb(this.Va,f);f=Dc(this.Va,f);for(var p=new Uint8Array(h),r=0;r<h;r+=1)p[r]=v[f+
r];return p};c.prototype.get=function(f,h){h=h||{};f!=null&&this.bind(f)&&this.step();f=[];for(var p=Ac(this.Va),r=0;r<p;r+=1)switch(Ec(this.Va,r)){case 1:var u=h.useBigInt?this.Xb(r):this.Hb(r);f.push(u);break;case 2:f.push(this.Hb(r));break;case 3:f.push(this.Ib(r));break;case 4:f.push(this.getBlob(r));break;default:f.push(null)}return f};c.prototype.ub=function(){for(var f=[],h=zc(this.Va),p=0;p<h;p+=1)f.push(Fc(this.Va,p));return f};c.prototype.Gb=function(f,h){var p=this.get(f,h);f=this.ub();
return Object.fromEntries(f.map(function(r,u){return[r,p[u]]}))};c.prototype.ac=function(){return N(this.Va)};c.prototype.Yb=function(){return tc(this.Va)};c.prototype.run=function(f){f!=null&&this.bind(f);this.step();return this.reset()};c.prototype.Cb=function(f,h){h==null&&(h=this.Ta,this.Ta+=1);var p=fa(f);this.rb.push(p);this.db.handleError(uc(this.Va,h,p,l(f),0))};c.prototype.Nb=function(f,h){h==null&&(h=this.Ta,this.Ta+=1);var p=da(f.length);v.set(f,p);this.rb.push(p);this.db.handleError(xb(this.Va,
h,p,f.length,0))};c.prototype.Bb=function(f,h){h==null&&(h=this.Ta,this.Ta+=1);this.db.handleError((f===(f|0)?wc:vc)(this.Va,h,f))};c.prototype.Qb=function(f){f==null&&(f=this.Ta,this.Ta+=1);xb(this.Va,f,0,0,0)};c.prototype.Db=function(f,h){h==null&&(h=this.Ta,this.Ta+=1);switch(typeof f){case "string":this.Cb(f,h);return;case "number":this.Bb(f,h);return;case "bigint":this.Cb(f.toString(),h);return;case "boolean":this.Bb(f+0,h);return;case "object":if(f===null){this.Qb(h);return}if(f.length!=null){this.Nb(f,
h);return}}throw"Wrong API use : tried to bind a value of an unknown type ("+f+").";};c.prototype.Pb=function(f){var h=this;Object.keys(f).forEach(function(p){var r=xc(h.Va,p);r!==0&&h.Db(f[p],r)});return!0};c.prototype.Ob=function(f){for(var h=0;h<f.length;h+=1)this.Db(f[h],h+1);return!0};c.prototype.reset=function(){this.freemem();return Hc(this.Va)===0&&Gc(this.Va)===0};c.prototype.freemem=function(){for(var f;(f=this.rb.pop())!==void 0;)ea(f)};c.prototype.eb=function(){this.freemem();var f=Ic(this.Va)===
0;delete this.db.qb[this.Va];this.Va=0;return f};e.prototype.next=function(){if(this.kb===null)return{done:!0};this.bb!==null&&(this.bb.eb(),this.bb=null);if(!this.db.db)throw this.lb(),Error("Database closed");var f=oa(),h=la(4);pa(q);pa(h);try{this.db.handleError(Ua(this.db.db,this.pb,-1,q,h));this.pb=y(h,"i32");var p=y(q,"i32");if(p===0)return this.lb(),{done:!0};this.bb=new c(p,this.db);this.db.qb[p]=this.bb;return{value:this.bb,done:!1}}catch(r){throw this.xb=A(this.pb),this.lb(),r;}finally{qa(f)}};
e.prototype.lb=function(){ea(this.kb);this.kb=null};e.prototype["return"]=function(){this.bb!==null&&(this.bb.eb(),this.bb=null);this.lb();return{done:!0}};e.prototype.Zb=function(){return this.xb!==null?this.xb:A(this.pb)};typeof Symbol==="function"&&typeof Symbol.iterator==="symbol"&&(e.prototype[Symbol.iterator]=function(){return this});g.prototype.run=function(f,h){if(!this.db)throw"Database closed";if(h){f=this.yb(f,h);try{f.step()}finally{f.eb()}}else{f=fa(f);try{this.handleError(ha(this.db,
f,0,0,q))}finally{ea(f)}}return this};g.prototype.exec=function(f,h,p){if(!this.db)throw"Database closed";var r=oa(),u=null,w=null,x=null;try{x=w=fa(f);var G=la(4);for(f=[];y(x,"i8")!==0;){pa(q);pa(G);this.handleError(Ua(this.db,x,-1,q,G));var T=y(q,"i32");x=y(G,"i32");if(T!==0){var D=null;u=new c(T,this);for(h!=null&&u.bind(h);u.step();)D===null&&(D={columns:u.ub(),values:[]},f.push(D)),D.values.push(u.get(null,p));u.eb()}}return f}catch(K){throw u&&u.eb(),K;}finally{w&&ea(w),qa(r)}};g.prototype.Ub=
function(f,h,p,r,u){typeof h==="function"&&(r=p,p=h,h=void 0);f=this.yb(f,h);try{for(;f.step();)p(f.Gb(null,u))}finally{f.eb()}if(typeof r==="function")return r()};g.prototype.yb=function(f,h){f=fa(f);try{pa(q),this.handleError(Ua(this.db,f,-1,q,0))}finally{ea(f)}f=y(q,"i32");if(f===0)throw"Nothing to prepare";var p=new c(f,this);h!=null&&p.bind(h);return this.qb[f]=p};g.prototype.bc=function(f){return new e(f,this)};g.prototype.Wb=function(){if(!this.db)throw Error("Database closed");var f=this.filename+
"_export";ja(f,[]);var h=0,p=0;try{var r=B(f).node,u=null,w=r.Qa.write;r.Qa=Object.create(r.Qa);r.Qa.write=function(T,D,K,V,U){if(u===null)return w(T,D,K,V,U);r.Ua.set(D.subarray(K,K+V),U);r.Wa=Math.max(r.Wa,U+V);return V};var x=F(f,q);h=y(q,"i32");if(x!==0)throw Error(ia(h));p=Ta(h,"main",this.db,"main");if(p===0)throw Error(ia(h));x=ma(p,0);if(x===0){var G=this.exec("PRAGMA main.page_count; PRAGMA main.page_size");u=new Uint8Array(G[0].values[0][0]*G[1].values[0][0]);r.Ua=u;x=ma(p,-1)}if(x===5||
x===6)throw Error("Unable to export: SQLite is busy or locked. Finish active write transactions before exporting.");if(x!==101)throw Error(ia(h));x=na(p);p=0;if(x!==0)throw Error(ia(h));x=S(h);if(x!==0)throw Error(ia(h));h=0;u=new Uint8Array(r.Ua.buffer,r.Ua.byteOffset,r.Wa);u.length>0&&(u[18]=1,u[19]=1);return u}finally{p!==0&&na(p),h!==0&&S(h),ra("/"+f)}};g.prototype.close=function(){this.db!==null&&(Object.values(this.qb).forEach(function(f){f.eb()}),this.Ya.forEach(t),this.Ya.clear(),this.fb&&
(ka(this.fb),this.fb=void 0),this.handleError(S(this.db)),ra("/"+this.filename),this.db=null)};g.prototype.handleError=function(f){if(f===0)return null;f=ia(this.db);throw Error(f);};g.prototype.$b=function(){return Aa(this.db)};g.prototype.Tb=function(f,h){var p=m(f,h.length);this.Ya.has(p)&&(t(this.Ya.get(p)),this.Ya.delete(p));var r=sa(function(u,w,x){w=d(w,x);try{var G=h.apply(null,w)}catch(T){a(u,T);return}b(u,G)},"viii");this.Ya.set(p,[r]);this.handleError(zb(this.db,f,h.length,1,0,r,0,0,0));
return this};g.prototype.Sb=function(f,h){function p(D){x.has(D)||x.set(D,r());return x.get(D)}var r=h.init||function(){return null},u=h.finalize||function(D){return D},w=h.step;if(!w)throw"An aggregate function must have a step function in "+f;var x=new Map;h=m(f,w.length-1);this.Ya.has(h)&&(t(this.Ya.get(h)),this.Ya.delete(h));var G=sa(function(D,K,V){var U=Ab(D,1),Wa=p(U);K=d(K,V);Wa=[Wa].concat(K);try{x.set(U,w.apply(null,Wa))}catch(Jc){x.delete(U),a(D,Jc)}},"viii"),T=sa(function(D){var K=Ab(D,
1);try{var V=u(p(K))}catch(U){x.delete(K);a(D,U);return}b(D,V);x.delete(K)},"vi");this.Ya.set(h,[G,T]);this.handleError(zb(this.db,f,w.length-1,1,0,0,G,T,0));return this};g.prototype.jc=function(f){this.fb&&(Bb(this.db,0,0),ka(this.fb),this.fb=void 0);if(!f)return this;this.fb=sa(function(h,p,r,u,w){switch(p){case 18:h="insert";break;case 23:h="update";break;case 9:h="delete";break;default:throw"unknown operationCode in updateHook callback: "+p;}r=A(r);u=A(u);if(w>Number.MAX_SAFE_INTEGER)throw"rowId too big to fit inside a Number";
f(h,r,u,Number(w))},"viiiij");Bb(this.db,this.fb,0);return this};c.prototype.bind=c.prototype.bind;c.prototype.step=c.prototype.step;c.prototype.get=c.prototype.get;c.prototype.getColumnNames=c.prototype.ub;c.prototype.getAsObject=c.prototype.Gb;c.prototype.getSQL=c.prototype.ac;c.prototype.getNormalizedSQL=c.prototype.Yb;c.prototype.run=c.prototype.run;c.prototype.reset=c.prototype.reset;c.prototype.freemem=c.prototype.freemem;c.prototype.free=c.prototype.eb;e.prototype.next=e.prototype.next;e.prototype.getRemainingSQL=
e.prototype.Zb;g.prototype.run=g.prototype.run;g.prototype.exec=g.prototype.exec;g.prototype.each=g.prototype.Ub;g.prototype.prepare=g.prototype.yb;g.prototype.iterateStatements=g.prototype.bc;g.prototype["export"]=g.prototype.Wb;g.prototype.close=g.prototype.close;g.prototype.handleError=g.prototype.handleError;g.prototype.getRowsModified=g.prototype.$b;g.prototype.create_function=g.prototype.Tb;g.prototype.create_aggregate=g.prototype.Sb;g.prototype.updateHook=g.prototype.jc;k.Database=g};
var ta="./this.program",ua=(a,b)=>{throw b;},va=globalThis.document?.currentScript?.src;typeof __filename!=="undefined"?va=__filename:ba&&(va=self.location.href);var wa="",xa,ya;
if(ca){var fs=require("node:fs");wa=__dirname+"/";ya=a=>{a=za(a)?new URL(a):a;return fs.readFileSync(a)};xa=async a=>{a=za(a)?new URL(a):a;return fs.readFileSync(a,void 0)};process.argv.length>1&&(ta=process.argv[1].replace(/\\/g,"/"));process.argv.slice(2);typeof module!=="undefined"&&(module.exports=k);ua=(a,b)=>{process.exitCode=a;throw b;}}else if(aa||ba){try{wa=(new URL(".",va)).href}catch{}ba&&(ya=a=>{var b=new XMLHttpRequest;b.open("GET",a,!1);b.responseType="arraybuffer";b.send(null);return new Uint8Array(b.response)});
xa=async a=>{if(za(a))return new Promise((d,c)=>{var e=new XMLHttpRequest;e.open("GET",a,!0);e.responseType="arraybuffer";e.onload=()=>{e.status==200||e.status==0&&e.response?d(e.response):c(e.status)};e.onerror=c;e.send(null)});var b=await fetch(a,{credentials:"same-origin"});if(b.ok)return b.arrayBuffer();throw Error(b.status+" : "+b.url);}}var Ba=console.log.bind(console),C=console.error.bind(console),Ca,Da=!1,Ea,za=a=>a.startsWith("file://");
function Fa(){if(!v?.buffer?.resizable){var a=Ga.buffer;v=new Int8Array(a);Ha=new Int16Array(a);E=new Uint8Array(a);H=new Int32Array(a);I=new Uint32Array(a);Ia=new Float32Array(a);Ja=new Float64Array(a);J=new BigInt64Array(a)}}function Ka(){var a=k.preRun;a&&(typeof a==="function"&&(a=[a]),La.push(...a));for(a=La;a.length>0;)a.shift()(k)}function Ma(){var a=k.postRun;a&&(typeof a==="function"&&(a=[a]),Na.push(...a));for(a=Na;a.length>0;)a.shift()(k)}
function Oa(a){k.onAbort?.(a);a=`Aborted(${a})`;C(a);Da=!0;throw new WebAssembly.RuntimeError(a+". Build with -sASSERTIONS for more info.");}var Pa;async function Qa(a){if(!Ca)try{return await xa(a)}catch{}if(a==Pa&&Ca)a=new Uint8Array(Ca);else if(ya)a=ya(a);else throw"both async and sync fetching of the wasm failed";return a}async function Ra(a,b){try{var d=await Qa(a);return await WebAssembly.instantiate(d,b)}catch(c){C(`failed to asynchronously prepare wasm: ${c}`),Oa(c)}}
async function Sa(a){var b=Pa;if(!Ca&&!za(b)&&!ca)try{var d=fetch(b,{credentials:"same-origin"});return await WebAssembly.instantiateStreaming(d,a)}catch(c){C(`wasm streaming compile failed: ${c}`),C("falling back to ArrayBuffer instantiation")}return Ra(b,a)}class Va{name="ExitStatus";constructor(a){this.message=`Program terminated with exit(${a})`;this.status=a}}
var v,Na=[],La=[],Xa=!0,E,Ya=new TextDecoder,Za=(a,b,d,c)=>{d=b+d;if(c)return d;for(;a[b]&&!(b>=d);)++b;return b},A=(a,b,d)=>a?Ya.decode(E.subarray(a,Za(E,a,b,d))):"",$a=(a,b)=>{for(var d=0,c=a.length-1;c>=0;c--){var e=a[c];e==="."?a.splice(c,1):e===".."?(a.splice(c,1),d++):d&&(a.splice(c,1),d--)}if(b)for(;d;d--)a.unshift("..");return a},ab=a=>{var b=a.charAt(0)==="/",d=a.slice(-1)==="/";(a=$a(a.split("/").filter(c=>!!c),!b).join("/"))||b||(a=".");a&&d&&(a+="/");return(b?"/":"")+a},bb=a=>{var b=/^(\/?|)([\s\S]*?)((?:\.{1,2}|[^\/]+?|)(\.[^.\/]*|))(?:[\/]*)$/.exec(a).slice(1);
a=b[0];b=b[1];if(!a&&!b)return".";b&&=b.slice(0,-1);return a+b},cb=a=>a&&a.match(/([^\/]+|\/)\/*$/)[1],db=(...a)=>{for(var b="",d=!1,c=a.length-1;c>=-1&&!d;c--){d=c>=0?a[c]:"/";if(typeof d!=="string")throw new TypeError("Arguments to path.resolve must be strings");if(!d)return"";b=d+"/"+b;d=d.charAt(0)==="/"}b=$a(b.split("/").filter(e=>!!e),!d).join("/");return(d?"/":"")+b||"."},l=a=>{for(var b=0,d=0;d<a.length;++d){var c=a.codePointAt(d);c<=127?b++:c<=2047?b+=2:c<=65535?b+=3:(b+=4,d++)}return b},
L=(a,b,d,c)=>{if(!(c>0))return 0;var e=d;c=d+c-1;for(var g=0;g<a.length;++g){var m=a.codePointAt(g);if(m<=127){if(d>=c)break;b[d++]=m}else if(m<=2047){if(d+1>=c)break;b[d++]=192|m>>6;b[d++]=128|m&63}else if(m<=65535){if(d+2>=c)break;b[d++]=224|m>>12;b[d++]=128|m>>6&63;b[d++]=128|m&63}else{if(d+3>=c)break;b[d++]=240|m>>18;b[d++]=128|m>>12&63;b[d++]=128|m>>6&63;b[d++]=128|m&63;g++}}b[d]=0;return d-e},eb=a=>{var b=Array(l(a)+1);a=L(a,b,0,b.length);b.length=a;return b},fb=(a,b)=>{var d=0;a&&(d|=365);
b&&(d|=146);return d},M={$a:null,cb(){return M.createNode(null,"/",16895,0)},createNode(a,b,d,c){if((d&61440)===24576||(d&61440)===4096)throw new O(63);M.$a||(M.$a={dir:{node:{Xa:M.Ra.Xa,ab:M.Ra.ab,lookup:M.Ra.lookup,mb:M.Ra.mb,rename:M.Ra.rename,unlink:M.Ra.unlink,rmdir:M.Ra.rmdir,readdir:M.Ra.readdir,symlink:M.Ra.symlink},stream:{Za:M.Qa.Za}},file:{node:{Xa:M.Ra.Xa,ab:M.Ra.ab},stream:{Za:M.Qa.Za,read:M.Qa.read,write:M.Qa.write,nb:M.Qa.nb,ob:M.Qa.ob}},link:{node:{Xa:M.Ra.Xa,ab:M.Ra.ab,readlink:M.Ra.readlink},
stream:{}},Eb:{node:{Xa:M.Ra.Xa,ab:M.Ra.ab},stream:gb}});d=hb(a,b,d,c);P(d.mode)?(d.Ra=M.$a.dir.node,d.Qa=M.$a.dir.stream,d.Ua={}):(d.mode&61440)===32768?(d.Ra=M.$a.file.node,d.Qa=M.$a.file.stream,d.Wa=0,d.Ua=M.Vb??(M.Vb=new Uint8Array(0))):(d.mode&61440)===40960?(d.Ra=M.$a.link.node,d.Qa=M.$a.link.stream):(d.mode&61440)===8192&&(d.Ra=M.$a.Eb.node,d.Qa=M.$a.Eb.stream);d.atime=d.mtime=d.ctime=Date.now();a&&(a.Ua[b]=d,a.atime=a.mtime=a.ctime=d.atime);return d},Ra:{Xa(a){var b={};b.dev=(a.mode&61440)===
8192?a.id:1;b.ino=a.id;b.mode=a.mode;b.nlink=1;b.uid=0;b.gid=0;b.rdev=a.rdev;P(a.mode)?b.size=4096:(a.mode&61440)===32768?b.size=a.Wa:(a.mode&61440)===40960?b.size=a.link.length:b.size=0;b.atime=new Date(a.atime);b.mtime=new Date(a.mtime);b.ctime=new Date(a.ctime);b.blksize=4096;b.blocks=Math.ceil(b.size/b.blksize);return b},ab(a,b){for(var d of["mode","atime","mtime","ctime"])b[d]!=null&&(a[d]=b[d]);b.size!==void 0&&(b=b.size,a.Wa!=b&&(d=a.Ua,a.Ua=new Uint8Array(b),a.Ua.set(d.subarray(0,Math.min(b,
a.Wa))),a.Wa=b))},lookup(){M.sb||(M.sb=new O(44),M.sb.stack="<generic error, no stack>");throw M.sb;},mb(a,b,d,c){return M.createNode(a,b,d,c)},rename(a,b,d){try{var c=ib(b,d)}catch(g){}if(c&&P(a.mode))for(var e in c.Ua)throw new O(55);delete a.parent.Ua[a.name];b.Ua[d]=a;a.name=d;b.ctime=b.mtime=a.parent.ctime=a.parent.mtime=Date.now()},unlink(a,b){delete a.Ua[b];a.ctime=a.mtime=Date.now()},rmdir(a,b){var d=ib(a,b),c;for(c in d.Ua)throw new O(55);delete a.Ua[b];a.ctime=a.mtime=Date.now()},readdir(a){return[".",
"..",...Object.keys(a.Ua)]},symlink(a,b,d){a=M.createNode(a,b,41471,0);a.link=d;return a},readlink(a){if((a.mode&61440)!==40960)throw new O(28);return a.link}},Qa:{read(a,b,d,c,e){if(e>=a.node.Wa)return 0;c=Math.min(a.node.Wa-e,c);b.set(a.node.Ua.subarray(e,e+c),d);return c},write(a,b,d,c,e,g){b.buffer===v.buffer&&(g=!1);if(!c)return 0;a=a.node;a.mtime=a.ctime=Date.now();if(g)a.Ua=b.subarray(d,d+c),a.Wa=c;else if(a.Wa||e){g=e+c;var m=a.Ua.length;m>=g||(g=Math.max(g,m*(m<1048576?2:1.125)>>>0),m&&(g=
Math.max(g,256)),m=a.Ua.subarray(0,a.Wa),a.Ua=new Uint8Array(g),a.Ua.set(m));a.Ua.set(b.subarray(d,d+c),e);a.Wa=Math.max(a.Wa,e+c)}else a.Ua=b.slice(d,d+c),a.Wa=c;return c},Za(a,b,d){d===1?b+=a.position:d===2&&(a.node.mode&61440)===32768&&(b+=a.node.Wa);if(b<0)throw new O(28);return b},nb(a,b,d,c,e){if((a.node.mode&61440)!==32768)throw new O(43);a=a.node.Ua;if(e&2||a.buffer!==v.buffer){e=!0;c=Math.ceil(b/65536)*65536;var g=jb(65536,c);g&&E.fill(0,g,g+c);c=g;if(!c)throw new O(48);if(a){if(d>0||d+b<
a.length)a=a.subarray?a.subarray(d,d+b):a.slice(d,d+b);v.set(a,c)}}else e=!1,c=a.byteOffset;return{fc:c,Mb:e}},ob(a,b,d,c){M.Qa.write(a,b,0,c,d,!1);return 0}}},kb=[],lb=a=>{var b=Za(a,0);return Ya.decode(a.buffer?a.subarray(0,b):new Uint8Array(a.slice(0,b)))},mb=[];function nb(a,b){mb[a]={input:[],output:[],jb:b};ob(a,pb)}
var pb={open(a){var b=mb[a.node.rdev];if(!b)throw new O(43);a.tty=b;a.seekable=!1},close(a){a.tty.jb.fsync(a.tty)},fsync(a){a.tty.jb.fsync(a.tty)},read(a,b,d,c){if(!a.tty||!a.tty.jb.Jb)throw new O(60);for(var e=0,g=0;g<c;g++){try{var m=a.tty.jb.Jb(a.tty)}catch(t){throw new O(29);}if(m===void 0&&!e)throw new O(6);if(m===null||m===void 0)break;e++;b[d+g]=m;if(m===10)break}e&&(a.node.atime=Date.now());return e},write(a,b,d,c){if(!a.tty||!a.tty.jb.zb)throw new O(60);try{for(var e=0;e<c;e++)a.tty.jb.zb(a.tty,
b[d+e])}catch(g){throw new O(29);}c&&(a.node.mtime=a.node.ctime=Date.now());return e}},qb={Jb(){a:{if(!kb.length){var a=null;if(ca){var b=Buffer.alloc(256),d=0;try{d=fs.readSync(process.stdin.fd,b,0,256)}catch(c){if(c.toString().includes("EOF"))d=0;else throw c;}d>0&&(a=b.toString("utf-8",0,d))}else globalThis.window?.prompt&&(a=window.prompt("Input: "),a!==null&&(a+="\n"));if(!a){a=null;break a}kb=eb(a)}a=kb.shift()}return a},zb(a,b){b===null||b===10?(Ba(lb(a.output)),a.output=[]):b!=0&&a.output.push(b)},
fsync(a){a.output?.length>0&&(Ba(lb(a.output)),a.output=[])},rc(){return{mc:25856,oc:5,lc:191,nc:35387,kc:[3,28,127,21,4,0,1,0,17,19,26,0,18,15,23,22,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0]}},sc(){return 0},tc(){return[24,80]}},rb={zb(a,b){b===null||b===10?(C(lb(a.output)),a.output=[]):b!=0&&a.output.push(b)},fsync(a){a.output?.length>0&&(C(lb(a.output)),a.output=[])}},sb=()=>{if(ca){var a=require("node:crypto");return b=>(a.randomFillSync(b),0)}return b=>(crypto.getRandomValues(b),0)},wb=a=>(wb=sb())(a),
Cb=null,Db={},Eb=[],Fb=1,Q=[],Gb=!1,Hb=!0,Ib={},O=class{name="ErrnoError";constructor(a){this.Sa=a}},Jb=class{shared={};node=null;get flags(){return this.shared.flags}set flags(a){this.shared.flags=a}get position(){return this.shared.position}set position(a){this.shared.position=a}},Kb=class{Ra={};Qa={};hb=null;listeners=null;Ab=0;constructor(a,b,d,c){a||=this;this.parent=a;this.cb=a.cb;this.id=Fb++;this.name=b;this.mode=d;this.rdev=c;this.atime=this.mtime=this.ctime=Date.now()}get read(){return(this.mode&
365)===365}set read(a){a?this.mode|=365:this.mode&=-366}get write(){return(this.mode&146)===146}set write(a){a?this.mode|=146:this.mode&=-147}ec(){if(this.listeners){var a;for(b of this.listeners)b.exclusive?(a||=[]).push(b):b.Rb(32);if(a){var b=(this.Ab||0)%a.length;this.Ab=b+1;a[b].Rb(32)}}}};
function B(a,b={}){if(!a)throw new O(44);b.tb??(b.tb=!0);a.charAt(0)==="/"||(a="//"+a);var d=0;a:for(;d<40;d++){a=a.split("/").filter(t=>!!t);for(var c=Cb,e="/",g=0;g<a.length;g++){var m=g===a.length-1;if(m&&b.parent)break;if(a[g]!==".")if(a[g]==="..")if(e=bb(e),c===c.parent){a=e+"/"+a.slice(g+1).join("/");d--;continue a}else c=c.parent;else{e=ab(e+"/"+a[g]);try{c=ib(c,a[g])}catch(t){if(t?.Sa===44&&m&&b.dc)return{path:e};throw t;}!c.hb||m&&!b.tb||(c=c.hb.root);if((c.mode&61440)===40960&&(!m||b.gb)){if(!c.Ra.readlink)throw new O(52);
c=c.Ra.readlink(c);c.charAt(0)==="/"||(c=bb(e)+"/"+c);a=c+"/"+a.slice(g+1).join("/");continue a}}}return{path:e,node:c}}throw new O(32);}function Lb(a){for(var b;;){if(a===a.parent)return a=a.cb.Lb,b?a[a.length-1]!=="/"?`${a}/${b}`:a+b:a;b=b?`${a.name}/${b}`:a.name;a=a.parent}}function Mb(a,b){for(var d=0,c=0;c<b.length;c++)d=(d<<5)-d+b.charCodeAt(c)|0;return(a+d>>>0)%Q.length}
function Nb(a){var b=Mb(a.parent.id,a.name);if(Q[b]===a)Q[b]=a.ib;else for(b=Q[b];b;){if(b.ib===a){b.ib=a.ib;break}b=b.ib}}function ib(a,b){var d=P(a.mode)?(d=Ob(a,"x"))?d:a.Ra.lookup?0:2:54;if(d)throw new O(d);for(d=Q[Mb(a.id,b)];d;d=d.ib){var c=d.name;if(d.parent.id===a.id&&c===b)return d}return a.Ra.lookup(a,b)}function hb(a,b,d,c){a=new Kb(a,b,d,c);b=Mb(a.parent.id,a.name);a.ib=Q[b];return Q[b]=a}function P(a){return(a&61440)===16384}
function Ob(a,b){return Hb?0:b.includes("r")&&!(a.mode&292)||b.includes("w")&&!(a.mode&146)||b.includes("x")&&!(a.mode&73)?2:0}function Pb(a,b){if(!P(a.mode))return 54;try{return ib(a,b),20}catch(d){}return Ob(a,"wx")}function Qb(a,b,d){try{var c=ib(a,b)}catch(e){return e.Sa}if(a=Ob(a,"wx"))return a;if(d){if(!P(c.mode))return 54;if(c===c.parent||Lb(c)==="/")return 10}else if(P(c.mode))return 31;return 0}function Rb(a){if(!a)throw new O(63);return a}
function R(a){a=Eb[a];if(!a)throw new O(8);return a}function Sb(a,b=-1){a=Object.assign(new Jb,a);if(b==-1)a:{for(b=0;b<=4096;b++)if(!Eb[b])break a;throw new O(33);}a.fd=b;return Eb[b]=a}function Tb(a,b=-1){a=Sb(a,b);a.Qa?.qc?.(a);return a}function Ub(a,b,d){var c=a?.Qa.ab;a=c?a:b;c??=b.Ra.ab;Rb(c);try{c(a,d)}catch(e){if(e instanceof RangeError)throw new O(22);throw e;}}var gb={open(a){a.Qa=Db[a.node.rdev].Qa;a.Qa.open?.(a)},Za(){throw new O(70);}};function ob(a,b){Db[a]={Qa:b}}
function Vb(a,b){var d=b==="/";if(d&&Cb)throw new O(10);if(!d&&b){var c=B(b,{tb:!1});b=c.path;c=c.node;if(c.hb)throw new O(10);if(!P(c.mode))throw new O(54);}b={type:a,uc:{},Lb:b,cc:[]};a=a.cb(b);a.cb=b;b.root=a;d?Cb=a:c&&(c.hb=b,c.cb&&c.cb.cc.push(b))}function Wb(a,b,d){var c=B(a,{parent:!0}).node;a=cb(a);if(!a)throw new O(28);if(a==="."||a==="..")throw new O(20);var e=Pb(c,a);if(e)throw new O(e);if(!c.Ra.mb)throw new O(63);return c.Ra.mb(c,a,b,d)}
function Xb(a,b=438){return Wb(a,b&4095|32768,0)}function W(a,b=511){return Wb(a,b&1023|16384,0)}function Yb(a,b,d){typeof d==="undefined"&&(d=b,b=438);Wb(a,b|8192,d)}function Zb(a,b){if(!db(a))throw new O(44);var d=B(b,{parent:!0}).node;if(!d)throw new O(44);b=cb(b);var c=Pb(d,b);if(c)throw new O(c);if(!d.Ra.symlink)throw new O(63);d.Ra.symlink(d,b,a)}
function $b(a){var b=B(a,{parent:!0}).node;a=cb(a);var d=ib(b,a),c=Qb(b,a,!0);if(c)throw new O(c);if(!b.Ra.rmdir)throw new O(63);if(d.hb)throw new O(10);b.Ra.rmdir(b,a);Nb(d)}function ra(a){var b=B(a,{parent:!0}).node;if(!b)throw new O(44);a=cb(a);var d=ib(b,a),c=Qb(b,a,!1);if(c)throw new O(c);if(!b.Ra.unlink)throw new O(63);if(d.hb)throw new O(10);b.Ra.unlink(b,a);Nb(d)}function ac(a,b=!1){a=B(a,{gb:!b}).node;return Rb(a.Ra.Xa)(a)}
function bc(a,b,d){Ub(a,b,{mode:d&4095|b.mode&-4096,ctime:Date.now(),Fb:!1})}function cc(a,b){a=typeof a==="string"?B(a,{gb:!0}).node:a;bc(null,a,b)}function dc(a,b,d){if(P(b.mode))throw new O(31);if((b.mode&61440)!==32768)throw new O(28);var c=Ob(b,"w");if(c)throw new O(c);Ub(a,b,{size:d,timestamp:Date.now()})}function ec(a,b,d,c=!1){a=B(a,{gb:!c});Ub(null,a.node,{atime:b,mtime:d,Fb:c})}
function fc(a,b,d=438){if(a==="")throw new O(44);if(typeof b==="string"){var c={r:0,"r+":2,w:577,"w+":578,a:1089,"a+":1090}[b];if(typeof c==="undefined")throw Error(`Unknown file open mode: ${b}`);b=c}d=b&64?d&4095|32768:0;if(typeof a==="object")c=a;else{var e=a.endsWith("/");a=B(a,{gb:!(b&131072),dc:!0});c=a.node;a=a.path}var g=!1;if(b&64)if(c){if(b&128)throw new O(20);}else{if(e)throw new O(31);c=Wb(a,d|511,0);g=!0}if(!c)throw new O(44);(c.mode&61440)===8192&&(b&=-513);if(b&65536&&!P(c.mode))throw new O(54);
if(!g&&(c?(c.mode&61440)===40960?e=32:(e=["r","w","rw"][b&3],b&512&&(e+="w"),e=P(c.mode)&&(e!=="r"||b&576)?31:Ob(c,e)):e=44,e))throw new O(e);b&512&&!g&&(e=c,e=typeof e==="string"?B(e,{gb:!0}).node:e,dc(null,e,0));b&=-131713;e=Sb({node:c,path:Lb(c),flags:b,seekable:!0,position:0,Qa:c.Qa,hc:[],error:!1});e.Qa.open&&e.Qa.open(e);g&&cc(c,d&511);!k.logReadFiles||b&1||a in Ib||(Ib[a]=1,C(`read file: ${a}`));return e}
function hc(a){if(a.fd===null)throw new O(8);a.wb&&(a.wb=null);a.node?.ec();try{a.Qa.close&&a.Qa.close(a)}catch(b){throw b;}finally{Eb[a.fd]=null}a.fd=null}function ic(a,b,d){if(a.fd===null)throw new O(8);if(!a.seekable||!a.Qa.Za)throw new O(70);if(d!=0&&d!=1&&d!=2)throw new O(28);a.position=a.Qa.Za(a,b,d);a.hc=[]}
function jc(a,b,d,c,e){if(c<0||e<0)throw new O(28);if(a.fd===null)throw new O(8);if((a.flags&2097155)===0)throw new O(8);if(P(a.node.mode))throw new O(31);if(!a.Qa.write)throw new O(28);a.seekable&&a.flags&1024&&ic(a,0,2);var g=typeof e!=="undefined";if(!g)e=a.position;else if(!a.seekable)throw new O(70);b=a.Qa.write(a,b,d,c,e,void 0);g||(a.position+=b);return b}
function Kc(){var a,b,d;Gb=!0;a??=k.stdin;b??=k.stdout;d??=k.stderr;a?X("stdin",a):Zb("/dev/tty","/dev/stdin");b?X("stdout",null,b):Zb("/dev/tty","/dev/stdout");d?X("stderr",null,d):Zb("/dev/tty1","/dev/stderr");fc("/dev/stdin",0);fc("/dev/stdout",1);fc("/dev/stderr",1)}
function ja(a,b){var d="/",c=a;d&&(d=typeof d==="string"?d:Lb(d),c=a?ab(d+"/"+a):d);a=fb(!0,!0);c=Xb(c,a);b&&(typeof b==="string"&&(b=eb(b)),b.subarray||(b=new Uint8Array(b)),cc(c,a|146),d=fc(c,577),jc(d,b,0,b.length,0),hc(d),cc(c,a))}
function X(a,b,d){a=ab("/dev/"+a);var c=fb(!!b,!!d);X.Kb??(X.Kb=64);var e=X.Kb++<<8|0;ob(e,{open(g){g.seekable=!1},close(){d?.buffer?.length&&d(10)},read(g,m,t,z){for(var q=0,n=0;n<z;n++){try{var F=b()}catch(S){throw new O(29);}if(F===void 0&&!q)throw new O(6);if(F===null||F===void 0)break;q++;m[t+n]=F}q&&(g.node.atime=Date.now());return q},write(g,m,t,z){for(var q=0;q<z;q++)try{d(m[t+q])}catch(n){throw new O(29);}z&&(g.node.mtime=g.node.ctime=Date.now());return q}});Yb(a,c,e)}var Y={},H,J,I;
function Lc(a,b,d=!1){if(b.charAt(0)==="/")return b;a=a===-100?"/":R(a).path;if(b.length==0){if(!d)throw new O(44);return a}return a+"/"+b}
function Mc(a,b){I[a>>2]=b.dev;I[a+4>>2]=b.mode;I[a+8>>2]=b.nlink;I[a+12>>2]=b.uid;I[a+16>>2]=b.gid;I[a+20>>2]=b.rdev;J[a+24>>3]=BigInt(b.size);H[a+32>>2]=4096;H[a+36>>2]=b.blocks;var d=b.atime.getTime(),c=b.mtime.getTime(),e=b.ctime.getTime();J[a+40>>3]=BigInt(Math.floor(d/1E3));I[a+48>>2]=d%1E3*1E3*1E3;J[a+56>>3]=BigInt(Math.floor(c/1E3));I[a+64>>2]=c%1E3*1E3*1E3;J[a+72>>3]=BigInt(Math.floor(e/1E3));I[a+80>>2]=e%1E3*1E3*1E3;J[a+88>>3]=BigInt(b.ino);return 0}
var Nc=void 0,Ha,Oc=()=>{var a=H[+Nc>>2];Nc+=4;return a},Pc=0,Qc=[0,31,60,91,121,152,182,213,244,274,305,335],Rc=[0,31,59,90,120,151,181,212,243,273,304,334],Sc=a=>{Ea=a;Xa||Pc>0||(k.onExit?.(a),Da=!0);ua(a,new Va(a))},Tc={},Uc={},Wc=()=>{if(!Vc){var a={USER:"web_user",LOGNAME:"web_user",PATH:"/",PWD:"/",HOME:"/home/web_user",LANG:(globalThis.navigator?.language??"C").replace("-","_")+".UTF-8",_:ta},b;for(b in Uc)Uc[b]===void 0?delete a[b]:a[b]=Uc[b];var d=[];for(b in a)d.push(`${b}=${a[b]}`);Vc=
d}return Vc},Vc,Ia,Ja;function pa(a){var b="i32";b.endsWith("*")&&(b="*");switch(b){case "i1":v[a]=0;break;case "i8":v[a]=0;break;case "i16":Ha[a>>1]=0;break;case "i32":H[a>>2]=0;break;case "i64":J[a>>3]=BigInt(0);break;case "float":Ia[a>>2]=0;break;case "double":Ja[a>>3]=0;break;case "*":I[a>>2]=0;break;default:Oa(`invalid type for setValue: ${b}`)}}
function y(a,b="i8"){b.endsWith("*")&&(b="*");switch(b){case "i1":return v[a];case "i8":return v[a];case "i16":return Ha[a>>1];case "i32":return H[a>>2];case "i64":return J[a>>3];case "float":return Ia[a>>2];case "double":return Ja[a>>3];case "*":return I[a>>2];default:Oa(`invalid type for getValue: ${b}`)}}
var Xc=(a,b,d,c)=>{var e={string:q=>{var n=0;if(q!==null&&q!==void 0&&q!==0){n=l(q)+1;var F=la(n);L(q,E,F,n);n=F}return n},array:q=>{var n=la(q.length);v.set(q,n);return n}};a=k["_"+a];var g=[],m=0;if(c)for(var t=0;t<c.length;t++){var z=e[d[t]];z?(m||=oa(),g[t]=z(c[t])):g[t]=c[t]}d=a(...g);return d=function(q){m&&qa(m);return b==="string"?A(q):b==="boolean"?!!q:q}(d)},fa=a=>{var b=l(a)+1,d=da(b);d&&L(a,E,d,b);return d},Yc=[],Zc,ka=a=>{Zc.delete(Z.get(a));Z.set(a,null);Yc.push(a)},$c=a=>{var b=a.length;
return[b%128|128,b>>7,...a]},ad={i:127,p:127,j:126,f:125,d:124,e:111},bd=a=>$c(Array.from(a,b=>ad[b])),sa=(a,b)=>{if(!Zc){Zc=new WeakMap;var d=Z.length;if(Zc)for(var c=0;c<0+d;c++){var e=Z.get(c);e&&Zc.set(e,c)}}if(d=Zc.get(a)||0)return d;d=Yc.length?Yc.pop():Z.grow(1);try{Z.set(d,a)}catch(g){if(!(g instanceof TypeError))throw g;b=Uint8Array.of(0,97,115,109,1,0,0,0,1,...$c([1,96,...bd(b.slice(1)),...bd(b[0]==="v"?"":b[0])]),2,7,1,1,101,1,102,0,0,7,5,1,1,102,0,0);b=new WebAssembly.Module(b);b=(new WebAssembly.Instance(b,
{e:{f:a}})).exports.f;Z.set(d,b)}Zc.set(a,d);return d};Q.length=4096;Vb(M,"/");W("/tmp");W("/home");W("/home/web_user");(function(){W("/dev");ob(259,{read:()=>0,write:(c,e,g,m)=>m,Za:()=>0});Yb("/dev/null",259);nb(1280,qb);nb(1536,rb);Yb("/dev/tty",1280);Yb("/dev/tty1",1536);var a=new Uint8Array(1024),b=0,d=()=>{b||(wb(a),b=a.byteLength);return a[--b]};X("random",d);X("urandom",d);W("/dev/shm");W("/dev/shm/tmp")})();
(function(){W("/proc");var a=W("/proc/self");W("/proc/self/fd");Vb({cb(){var b=hb(a,"fd",16895,73);b.Qa={Za:M.Qa.Za};b.Ra={lookup(d,c){d=+c;var e=R(d);d={parent:null,cb:{Lb:"fake"},Ra:{readlink:()=>e.path},id:d+1};return d.parent=d},readdir(){return Array.from(Eb.entries()).filter(([,d])=>d).map(([d])=>d.toString())}};return b}},"/proc/self/fd")})();k.noExitRuntime&&(Xa=k.noExitRuntime);k.print&&(Ba=k.print);k.printErr&&(C=k.printErr);k.wasmBinary&&(Ca=k.wasmBinary);k.thisProgram&&(ta=k.thisProgram);
var cd=k.preInit;if(cd)for(typeof cd==="function"&&(k.preInit=cd=[cd]);cd.length>0;)cd.shift()();k.stackSave=()=>oa();k.stackRestore=a=>qa(a);k.stackAlloc=a=>la(a);k.cwrap=(a,b,d,c)=>{var e=!d||d.every(g=>g==="number"||g==="boolean");return b!=="string"&&e&&!c?k["_"+a]:(...g)=>Xc(a,b,d,g)};k.addFunction=sa;k.removeFunction=ka;k.UTF8ToString=A;k.lengthBytesUTF8=l;k.stringToNewUTF8=fa;k.writeArrayToMemory=(a,b)=>{v.set(a,b)};
var da,ea,jb,dd,qa,la,oa,Ga,Z,ed={a:(a,b,d,c)=>Oa(`Assertion failed: ${A(a)}, at: `+[b?A(b):"unknown filename",d,c?A(c):"unknown function"]),i:function(a,b){try{return a=A(a),cc(a,b),0}catch(d){if(typeof Y==="undefined"||d.name!=="ErrnoError")throw d;return-d.Sa}},D:function(a,b,d){try{b=A(b);b=Lc(a,b);if(d&-8)return-28;var c=B(b,{gb:!0}).node;if(!c)return-44;a="";d&4&&(a+="r");d&2&&(a+="w");d&1&&(a+="x");return a&&Ob(c,a)?-2:0}catch(e){if(typeof Y==="undefined"||e.name!=="ErrnoError")throw e;return-e.Sa}},
j:function(a,b){try{var d=R(a);bc(d,d.node,b);return 0}catch(c){if(typeof Y==="undefined"||c.name!=="ErrnoError")throw c;return-c.Sa}},h:function(a){try{var b=R(a);Ub(b,b.node,{timestamp:Date.now(),Fb:!1});return 0}catch(d){if(typeof Y==="undefined"||d.name!=="ErrnoError")throw d;return-d.Sa}},b:function(a,b,d){Nc=d;try{var c=R(a);switch(b){case 0:var e=Oc();if(e<0)break;for(;Eb[e];)e++;return Tb(c,e).fd;case 1:case 2:return 0;case 3:return c.flags;case 4:return e=Oc(),c.flags=c.flags&-289793|e&289792,
0;case 12:return e=Oc(),Ha[e+0>>1]=2,0;case 13:case 14:return 0}return-28}catch(g){if(typeof Y==="undefined"||g.name!=="ErrnoError")throw g;return-g.Sa}},g:function(a,b){try{var d=R(a),c=d.node,e=d.Qa.Xa;a=e?d:c;e??=c.Ra.Xa;Rb(e);var g=e(a);return Mc(b,g)}catch(m){if(typeof Y==="undefined"||m.name!=="ErrnoError")throw m;return-m.Sa}},J:function(a,b){b=b<-9007199254740992||b>9007199254740992?NaN:Number(b);try{if(isNaN(b))return-22;var d=R(a);if(b<0||(d.flags&2097155)===0)throw new O(28);dc(d,d.node,
b);return 0}catch(c){if(typeof Y==="undefined"||c.name!=="ErrnoError")throw c;return-c.Sa}},I:function(a,b){try{if(!b)return-28;var d=l("/")+1;if(b<d)return-68;L("/",E,a,b);return d}catch(c){if(typeof Y==="undefined"||c.name!=="ErrnoError")throw c;return-c.Sa}},F:()=>0,M:function(a,b){try{return a=A(a),Mc(b,ac(a,!0))}catch(d){if(typeof Y==="undefined"||d.name!=="ErrnoError")throw d;return-d.Sa}},C:function(a,b,d){try{return b=A(b),b=Lc(a,b),W(b,d&-19),0}catch(c){if(typeof Y==="undefined"||c.name!==
"ErrnoError")throw c;return-c.Sa}},L:function(a,b,d,c){try{b=A(b);var e=c&256;b=Lc(a,b,c&4096);return Mc(d,e?ac(b,!0):ac(b))}catch(g){if(typeof Y==="undefined"||g.name!=="ErrnoError")throw g;return-g.Sa}},x:function(a,b,d,c){Nc=c;try{b=A(b);b=Lc(a,b);var e=c?Oc():0;d&64&&(e&=-19);return fc(b,d,e).fd}catch(g){if(typeof Y==="undefined"||g.name!=="ErrnoError")throw g;return-g.Sa}},s:function(a,b,d,c){try{b=A(b);b=Lc(a,b);if(c<=0)return-28;var e=B(b).node;if(!e)throw new O(44);if(!e.Ra.readlink)throw new O(28);
var g=e.Ra.readlink(e);var m=Math.min(c,l(g)),t=v[d+m];L(g,E,d,c+1);v[d+m]=t;return m}catch(z){if(typeof Y==="undefined"||z.name!=="ErrnoError")throw z;return-z.Sa}},r:function(a){try{return a=A(a),$b(a),0}catch(b){if(typeof Y==="undefined"||b.name!=="ErrnoError")throw b;return-b.Sa}},N:function(a,b){try{return a=A(a),Mc(b,ac(a))}catch(d){if(typeof Y==="undefined"||d.name!=="ErrnoError")throw d;return-d.Sa}},o:function(a,b,d){try{b=A(b);b=Lc(a,b);if(d)if(d===512)$b(b);else return-28;else ra(b);return 0}catch(c){if(typeof Y===
"undefined"||c.name!=="ErrnoError")throw c;return-c.Sa}},n:function(a,b,d,c){try{c&=256;b=A(b);b=Lc(a,b,!0);var e=Date.now();if(d){function t(z){var q=H[z+8>>2];return q==1073741823?e:q==1073741822?null:(I[z>>2]+H[z+4>>2]*4294967296)*1E3+Math.floor(q/1E6)}var g=t(d);var m=t(d+16)}else m=g=e;(m??g)!==null&&ec(b,g,m,c);return 0}catch(t){if(typeof Y==="undefined"||t.name!=="ErrnoError")throw t;return-t.Sa}},w:()=>Oa(""),v:()=>{Xa=!1;Pc=0},A:function(a,b){a=a<-9007199254740992||a>9007199254740992?NaN:
Number(a);a=new Date(a*1E3);if(isNaN(a.getTime()))return 1;H[b>>2]=a.getSeconds();H[b+4>>2]=a.getMinutes();H[b+8>>2]=a.getHours();H[b+12>>2]=a.getDate();H[b+16>>2]=a.getMonth();H[b+20>>2]=a.getFullYear()-1900;H[b+24>>2]=a.getDay();var d=a.getFullYear();H[b+28>>2]=(d%4!==0||d%100===0&&d%400!==0?Rc:Qc)[a.getMonth()]+a.getDate()-1|0;H[b+36>>2]=-(a.getTimezoneOffset()*60);d=(new Date(a.getFullYear(),6,1)).getTimezoneOffset();var c=(new Date(a.getFullYear(),0,1)).getTimezoneOffset();H[b+32>>2]=(d!=c&&
a.getTimezoneOffset()==Math.min(c,d))|0;return 0},y:function(a,b,d,c,e,g,m){e=e<-9007199254740992||e>9007199254740992?NaN:Number(e);try{var t=R(c);if(b&2&&!(d&2)&&(t.flags&2097155)!==2)throw new O(2);if((t.flags&2097155)===1)throw new O(2);if(!t.Qa.nb)throw new O(43);if(!a)throw new O(28);var z=t.Qa.nb(t,a,e,b,d);var q=z.fc;H[g>>2]=z.Mb;I[m>>2]=q;return 0}catch(n){if(typeof Y==="undefined"||n.name!=="ErrnoError")throw n;return-n.Sa}},z:function(a,b,d,c,e,g){g=g<-9007199254740992||g>9007199254740992?
NaN:Number(g);try{var m=R(e);if(d&2){if((m.node.mode&61440)!==32768)throw new O(43);c&2||m.Qa.ob&&m.Qa.ob(m,E.subarray(a,a+b),g,b,c)}}catch(t){if(typeof Y==="undefined"||t.name!=="ErrnoError")throw t;return-t.Sa}},k:(a,b)=>{Tc[a]&&(clearTimeout(Tc[a].id),delete Tc[a]);if(!b)return 0;var d=setTimeout(()=>{delete Tc[a];var c=[a,performance.now()],e=dd;if(!Da)try{e(...c)}catch(g){g instanceof Va||g=="unwind"||ua(1,g)}finally{if(!(Xa||Pc>0))try{Ea=c=Ea,Sc(c)}catch(g){g instanceof Va||g=="unwind"||ua(1,
g)}}},b);Tc[a]={id:d,vc:b};return 0},B:(a,b,d,c)=>{var e=(new Date).getFullYear(),g=(new Date(e,0,1)).getTimezoneOffset();e=(new Date(e,6,1)).getTimezoneOffset();I[a>>2]=Math.max(g,e)*60;H[b>>2]=Number(g!=e);b=m=>{var t=Math.abs(m);return`UTC${m>=0?"-":"+"}${String(Math.floor(t/60)).padStart(2,"0")}${String(t%60).padStart(2,"0")}`};a=b(g);b=b(e);e<g?(L(a,E,d,17),L(b,E,c,17)):(L(a,E,c,17),L(b,E,d,17))},d:()=>Date.now(),p:()=>2147483648,c:()=>performance.now(),l:a=>{var b=E.length;a>>>=0;if(a>2147483648)return!1;
for(var d=1;d<=4;d*=2){var c=b*(1+.2/d);c=Math.min(c,a+100663296);a:{c=(Math.min(2147483648,Math.ceil(Math.max(a,c)/65536)*65536)-Ga.buffer.byteLength+65535)/65536|0;try{Ga.grow(c);Fa();var e=1;break a}catch(g){}e=void 0}if(e)return!0}return!1},G:(a,b)=>{var d=0,c=0,e;for(e of Wc()){var g=b+d;I[a+c>>2]=g;d+=L(e,E,g,Infinity)+1;c+=4}return 0},H:(a,b)=>{var d=Wc();I[a>>2]=d.length;a=0;for(var c of d)a+=l(c)+1;I[b>>2]=a;return 0},e:function(a){try{var b=R(a);hc(b);return 0}catch(d){if(typeof Y==="undefined"||
d.name!=="ErrnoError")throw d;return d.Sa}},m:function(a,b){try{var d=R(a);v[b]=d.tty?2:P(d.mode)?3:(d.mode&61440)===40960?7:4;Ha[b+2>>1]=0;J[b+8>>3]=BigInt(0);J[b+16>>3]=BigInt(0);return 0}catch(c){if(typeof Y==="undefined"||c.name!=="ErrnoError")throw c;return c.Sa}},t:function(a,b,d,c){try{a:{var e=R(a);a=b;for(var g,m=b=0;m<d;m++){var t=I[a>>2],z=I[a+4>>2];a+=8;try{var q=e,n=t,F=z,S=g,Ta=v;if(F<0||S<0)throw new O(28);if(q.fd===null)throw new O(8);if((q.flags&2097155)===1)throw new O(8);if(P(q.node.mode))throw new O(31);
if(!q.Qa.read)throw new O(28);var ma=typeof S!=="undefined";if(!ma)S=q.position;else if(!q.seekable)throw new O(70);var na=q.Qa.read(q,Ta,n,F,S);ma||(q.position+=na);var ha=na}catch(N){if(b>0&&N instanceof O&&(N.Sa==6||N.Sa==6))break;throw N;}if(ha<0){var Aa=-1;break a}b+=ha;if(ha<z)break;typeof g!=="undefined"&&(g+=ha)}Aa=b}I[c>>2]=Aa;return 0}catch(N){if(typeof Y==="undefined"||N.name!=="ErrnoError")throw N;return N.Sa}},E:function(a,b,d,c){b=b<-9007199254740992||b>9007199254740992?NaN:Number(b);
try{if(isNaN(b))return 22;var e=R(a);ic(e,b,d);J[c>>3]=BigInt(e.position);e.wb&&!b&&d===0&&(e.wb=null);return 0}catch(g){if(typeof Y==="undefined"||g.name!=="ErrnoError")throw g;return g.Sa}},K:function(a){try{var b=R(a);return b.Qa?.fsync?.(b)}catch(d){if(typeof Y==="undefined"||d.name!=="ErrnoError")throw d;return d.Sa}},q:function(a,b,d,c){try{var e=R(a);a=b;if(d==1)var g=jc(e,v,I[a>>2],I[a+4>>2]);else{for(var m=b=0,t=a;m<d;m++,t+=8)b+=I[t+4>>2];var z=new Uint8Array(b);for(m=t=0;m<d;m++,a+=8){var q=
I[a>>2],n=I[a+4>>2];z.set(E.subarray(q,q+n),t);t+=n}g=jc(e,z,0,b)}I[c>>2]=g;return 0}catch(F){if(typeof Y==="undefined"||F.name!=="ErrnoError")throw F;return F.Sa}},u:Sc,f:function(a){console.warn("sql.js: legacy function "+A(a)+"() is deprecated and will be disabled by default in the next major version. Initialize with useOldExtensionFunctions: false to use native SQLite functions. See https://github.com/sql-js/sql.js/pull/647")}};
async function fd(){Ka();var a=k.setStatus;a&&(a("Running..."),await new Promise(b=>setTimeout(b,1)),setTimeout(a,1,""));Da||(k.noFSInit||Gb||Kc(),gd.P(),Hb=!1,k.onRuntimeInitialized?.(),Ma())}var gd;
(async function(){function a(c){c=gd=c.exports;k._sqlite3_free=c.R;k._sqlite3_value_text=c.S;k._sqlite3_prepare_v2=c.T;k._sqlite3_step=c.U;k._sqlite3_reset=c.V;k._sqlite3_exec=c.W;k._sqlite3_finalize=c.X;k._sqlite3_column_name=c.Y;k._sqlite3_column_text=c.Z;k._sqlite3_column_type=c._;k._sqlite3_errmsg=c.$;k._sqlite3_backup_init=c.aa;k._sqlite3_backup_step=c.ba;k._sqlite3_backup_finish=c.ca;k._sqlite3_clear_bindings=c.da;k._sqlite3_value_blob=c.ea;k._sqlite3_value_bytes=c.fa;k._sqlite3_value_double=
c.ga;k._sqlite3_value_int=c.ha;k._sqlite3_value_type=c.ia;k._sqlite3_result_blob=c.ja;k._sqlite3_result_double=c.ka;k._sqlite3_result_error=c.la;k._sqlite3_result_int=c.ma;k._sqlite3_result_int64=c.na;k._sqlite3_result_null=c.oa;k._sqlite3_result_text=c.pa;k._sqlite3_aggregate_context=c.qa;k._sqlite3_column_count=c.ra;k._sqlite3_data_count=c.sa;k._sqlite3_column_blob=c.ta;k._sqlite3_column_bytes=c.ua;k._sqlite3_column_double=c.va;k._sqlite3_bind_blob=c.wa;k._sqlite3_bind_double=c.xa;k._sqlite3_bind_int=
c.ya;k._sqlite3_bind_text=c.za;k._sqlite3_bind_parameter_index=c.Aa;k._sqlite3_sql=c.Ba;k._sqlite3_normalized_sql=c.Ca;k._sqlite3_changes=c.Da;k._sqlite3_close_v2=c.Ea;k._sqlite3_create_function_v2=c.Fa;k._sqlite3_update_hook=c.Ga;k._sqlite3_open=c.Ha;da=k._malloc=c.Ia;ea=k._free=c.Ja;k._RegisterExtensionFunctions=c.Ka;jb=c.La;dd=c.Ma;qa=c.Na;la=c.Oa;oa=c.Pa;Ga=c.O;Z=c.Q;Fa();return gd}var b={a:ed},d=k.instantiateWasm;if(d)return new Promise(c=>{d(b,e=>c(a(e)))});Pa??=k.locateFile?k.locateFile("sql-wasm.wasm",
wa):wa+"sql-wasm.wasm";return function(c){return a(c.instance)}(await Sa(b))})().then(()=>fd());


        // The shell-pre.js and emcc-generated code goes above
        return Module;
    }); // The end of the promise being returned

  return initSqlJsPromise;
} // The end of our initSqlJs function

// This bit below is copied almost exactly from what you get when you use the MODULARIZE=1 flag with emcc
// However, we don't want to use the emcc modularization. See shell-pre.js
if (typeof exports === 'object' && typeof module === 'object'){
    module.exports = initSqlJs;
    // This will allow the module to be used in ES6 or CommonJS
    module.exports.default = initSqlJs;
}
else if (typeof define === 'function' && define['amd']) {
    define([], function() { return initSqlJs; });
}
else if (typeof exports === 'object'){
    exports["Module"] = initSqlJs;
}
/* global initSqlJs */
/* eslint no-restricted-globals: ["error"] */

"use strict";

var db;

function onModuleReady(SQL) {
    function createDb(data) {
        if (db != null) db.close();
        db = new SQL.Database(data);
        return db;
    }

    var buff; var data; var result;
    data = this["data"];
    var config = data["config"] ? data["config"] : {};
    switch (data && data["action"]) {
        case "open":
            buff = data["buffer"];
            createDb(buff && new Uint8Array(buff));
            return postMessage({
                id: data["id"],
                ready: true
            });
        case "exec":
            if (db === null) {
                createDb();
            }
            if (!data["sql"]) {
                throw "exec: Missing query string";
            }
            return postMessage({
                id: data["id"],
                results: db.exec(data["sql"], data["params"], config)
            });
        case "getRowsModified":
            return postMessage({
                id: data["id"],
                rowsModified: db.getRowsModified()
            });
        case "each":
            if (db === null) {
                createDb();
            }
            var callback = function callback(row) {
                return postMessage({
                    id: data["id"],
                    row: row,
                    finished: false
                });
            };
            var done = function done() {
                return postMessage({
                    id: data["id"],
                    finished: true
                });
            };
            return db.each(data["sql"], data["params"], callback, done, config);
        case "export":
            buff = db["export"]();
            result = {
                id: data["id"],
                buffer: buff
            };
            try {
                return postMessage(result, [result]);
            } catch (error) {
                return postMessage(result);
            }
        case "close":
            if (db) {
                db.close();
                db = null;
            }
            return postMessage({
                id: data["id"]
            });
        default:
            throw new Error("Invalid action : " + (data && data["action"]));
    }
}

function onError(err) {
    return postMessage({
        id: this["data"]["id"],
        error: err["message"]
    });
}

db = null;
var sqlModuleReady;

function global_sqljs_message_handler(event) {
    if (!sqlModuleReady) {
        var config = event["data"]["config"] || {};
        sqlModuleReady = initSqlJs({
            useOldExtensionFunctions: config["useOldExtensionFunctions"]
        });
    }
    return sqlModuleReady
        .then(onModuleReady.bind(event))
        .catch(onError.bind(event));
}

if (typeof importScripts === "function") {
    self.onmessage = global_sqljs_message_handler;
}

if (typeof require === "function") {
    var worker_threads = require("worker_threads");
    var parentPort = worker_threads.parentPort;
    // eslint-disable-next-line no-undef
    globalThis.postMessage = parentPort.postMessage.bind(parentPort);
    parentPort.on("message", function onmessage(data) {
        var event = { data: data };
        global_sqljs_message_handler(event);
    });

    if (typeof process !== "undefined") {
        process.on("uncaughtException", function uncaughtException(err) {
            postMessage({ error: err.message });
        });
        process.on("unhandledRejection", function unhandledRejection(err) {
            postMessage({ error: err.message });
        });
    }
}
