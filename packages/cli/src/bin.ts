console.log("assay");
